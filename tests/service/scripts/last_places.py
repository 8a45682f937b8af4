"""Send many strangers for few places at the same moment; print what became of each."""

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

from tests.factories import make_day, make_sign_up, make_waiver  # noqa: E402
from tests.workdays.applications import application  # noqa: E402
from workdays.actions import places  # noqa: E402
from workdays.actions.sign_ups import sign_up  # noqa: E402
from workdays.models import SignUp  # noqa: E402


def main(people: int, free: int) -> None:
    """Let ``people`` strangers sign up and say yes while one who comes withdraws, all at once."""
    now = timezone.now()
    make_waiver()
    day = make_day(capacity=free + 1, starts_at=now + timedelta(days=3))
    leaves = make_sign_up(day)
    gate = Barrier(people + 1)

    def come(number: int) -> None:
        gate.wait(60)
        try:
            row = sign_up(day.pk, application(email=f"p{number}@volunteers.example"), now=now)
            places.confirm(row.pk, now=now)
        finally:
            connections.close_all()

    def leave() -> None:
        gate.wait(60)
        try:
            places.withdraw(leaves.pk, now=now)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(people + 1) as pool:
        for done in [*(pool.submit(come, n) for n in range(people)), pool.submit(leave)]:
            done.result(120)
    states = Counter(SignUp.objects.values_list("state", flat=True))
    sys.stdout.write(json.dumps(states))


main(int(sys.argv[1]), int(sys.argv[2]))
