"""Put the example day of 25 people and 60 jobs into an empty site, four days ahead."""

import json
import sys
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import django

django.setup()

from django.db import transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator.log_in_link import link_for  # noqa: E402
from tests import factories  # noqa: E402
from tests.example_day import example_day, name_of  # noqa: E402


def main() -> None:
    """Seed, and print the day, its organiser's door, and a minor with the guardian."""
    zone = ZoneInfo("America/Detroit")
    on = timezone.now().astimezone(zone).date() + timedelta(days=4)
    with transaction.atomic():
        day = example_day("25x60s1", datetime.combine(on, time(9), tzinfo=zone))
        user = factories.make_user(email="ruth@hollin.example")
        factories.make_staff(name="Ruth Okafor", user=user)
    told = {
        "day": day.pk,
        "door": link_for(user),
        "minor": name_of("p4"),
        "guardian": name_of("p3"),
    }
    sys.stdout.write(json.dumps(told))


main()
