"""Put the example day of 25 people and 60 jobs into an empty site; it begins this very minute.

The place lies where that is in the morning, so that the day ends before midnight there.
"""

import json
import sys
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import django

django.setup()

from django.db import transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator.log_in_link import link_for  # noqa: E402
from tests import factories  # noqa: E402
from tests.example_day import example_day, name_of  # noqa: E402

MORNING_HOUR = 8
WESTMOST, HOURS = -12, 24
# Grown up, there from the start, and neither lead nor guardian of anybody.
HELPERS = ("p1", "p2", "p6", "p15", "p17", "p18")


def main() -> None:
    """Seed, and print the day, its organiser's door, and whom the test must know."""
    starts_at = timezone.now().replace(second=0, microsecond=0)
    with transaction.atomic():
        day = example_day("25x60s1", starts_at, time_zone=zone_of_morning(starts_at))
        user = factories.make_user(email="ruth@hollin.example")
        factories.make_staff(name="Ruth Okafor", user=user)
    due = day.sign_ups.filter(comes_at=None).order_by("pk")
    told = {
        "day": day.pk,
        "door": link_for(user),
        "minor": name_of("p4"),
        "guardian": name_of("p3"),
        "due": [sign_up.person.name for sign_up in due.select_related("person")],
        "helpers": [name_of(key) for key in HELPERS],
    }
    sys.stdout.write(json.dumps(told))


def zone_of_morning(moment: datetime) -> str:
    """Return a zone where the clock shows the hour of a morning; its sign is that of POSIX."""
    ahead = MORNING_HOUR - moment.astimezone(UTC).hour
    ahead += HOURS if ahead < WESTMOST else 0
    name = f"Etc/GMT{-ahead:+d}"
    assert moment.astimezone(ZoneInfo(name)).hour == MORNING_HOUR, name
    return name


main()
