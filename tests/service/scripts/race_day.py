"""Make a day with so many places, or say what became of everybody: states in the order of coming.

`race_day.py make PLACES` prints the day's id; `race_day.py look DAY` prints its states.
"""

import json
import sys
from datetime import timedelta

import django

django.setup()

from django.utils import timezone  # noqa: E402

from tests.factories import make_day, make_waiver  # noqa: E402
from workdays.models import Cemetery, SignUp, Waiver  # noqa: E402


def make(places: int) -> int:
    """Return a new open day, two weeks ahead."""
    if not Waiver.objects.exists():
        make_waiver()
    at = timezone.now().replace(minute=0, second=0, microsecond=0) + timedelta(days=14)
    day = make_day(Cemetery.objects.first(), capacity=places, starts_at=at)
    return day.pk


def look(day: int) -> list[str]:
    """Return the states of a day's sign-ups in the order in which they were stored."""
    rows = SignUp.objects.filter(day=day).order_by("created_at", "pk")
    return list(rows.values_list("state", flat=True))


word, number = sys.argv[1], int(sys.argv[2])
sys.stdout.write(json.dumps(make(number) if word == "make" else look(number)))
