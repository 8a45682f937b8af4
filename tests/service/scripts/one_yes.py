"""Let a host who is known press the link of a new request many times at once; print the answers."""

import json
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import django

django.setup()

from django.db import connections  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator import links  # noqa: E402
from tests.workdays.applications import request  # noqa: E402
from workdays import booking_mail  # noqa: E402
from workdays.actions.bookings import BookingWishes, ask_for_clinic, confirm_booking  # noqa: E402
from workdays.models import Booking, Host  # noqa: E402


def main(presses: int) -> None:
    """Let a host ask twice, say yes to the first, and press the second link so often."""
    now = timezone.now()
    wishes = request(wished_on=now.date() + timedelta(days=40))
    first, second = (_asked(wishes) for _ in range(2))
    confirm_booking(first, now=now)
    gate = Barrier(presses)

    def press(_: int) -> str:
        gate.wait(60)
        try:
            confirm_booking(second, now=now)
        except links.Dead as dead:
            return dead.why
        finally:
            connections.close_all()
        return "done"

    with ThreadPoolExecutor(presses) as pool:
        answers = Counter(pool.map(press, range(presses)))
    hosts = Booking.objects.values("host").distinct().count()
    found = {"answers": answers, "hosts": [hosts, Host.objects.count()]}
    sys.stdout.write(json.dumps(found))


def _asked(wishes: BookingWishes) -> str:
    """Ask for a clinic; return what the mailed link carries."""
    booking = ask_for_clinic(wishes, today=timezone.now().date())
    return links.make(booking_mail.CONFIRM, booking.pk, booking_mail.confirm_state(booking))


main(int(sys.argv[1]))
