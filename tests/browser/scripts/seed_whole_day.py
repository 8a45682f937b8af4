"""Put one day into an empty site: ground, work, two people who can lead, one who is offered a
place, an organiser.
"""

import json
import sys
from datetime import datetime, time, timedelta

import django

django.setup()

from django.db import transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from tests import factories  # noqa: E402
from workdays.models import Cemetery, SignUp, Waiver, Workday  # noqa: E402

DAYS_AHEAD = 4


def main() -> None:
    """Seed, and print what the test needs to know."""
    now = timezone.now()
    with transaction.atomic():
        cemetery = factories.make_cemetery(name="Alder Hill", slug="alder-hill")
        day = make_day(cemetery, now)
        waiver = factories.make_waiver(
            validity=Waiver.Validity.NEW_VERSION, published_at=now - timedelta(days=30)
        )
        factories.make_staff(
            name="Ruth Okafor", user=factories.make_user(email="ruth@hollin.example")
        )
        come(day, waiver, "Ben Lindqvist", "ben@hollin.example", "supervisor")
        come(day, waiver, "Dana Whitlock", "dana@volunteers.example", "signed_off")
        factories.make_sign_up(
            day,
            factories.make_person(name="Theo Brandt", email="theo@volunteers.example"),
            state=SignUp.State.OFFERED,
            held_until=now + timedelta(hours=20),
        )
    sys.stdout.write(json.dumps({"day": day.pk, "starts_at": day.starts_at.isoformat()}))


def make_day(cemetery: Cemetery, now: datetime) -> Workday:
    """Make a day from 9:00 to 15:00 with leave, and three stones to clean."""
    on = now.astimezone(cemetery.zone).date() + timedelta(days=DAYS_AHEAD)
    factories.make_permission(
        cemetery, starts_on=on - timedelta(days=60), ends_on=on + timedelta(days=60)
    )
    day = factories.make_day(
        cemetery, starts_at=datetime.combine(on, time(9), tzinfo=cemetery.zone)
    )
    section = factories.make_section(cemetery, name="Old ground")
    for _ in range(3):
        stone = factories.make_stone(section)
        factories.conclude(stone)
        day.jobs.add(factories.make_job(stone, most=4))
    return day


def come(day: Workday, waiver: Waiver, name: str, mailbox: str, level: str) -> None:
    """Sign up somebody who may lead a cleaning, without a calendar entry."""
    person = factories.make_person(name=name, email=mailbox, may_lead=True)
    factories.sign_off(person, "cleaning", level)
    factories.sign(person, waiver)
    factories.make_sign_up(day, person)


main()
