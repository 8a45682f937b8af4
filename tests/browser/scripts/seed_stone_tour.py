"""Put one row of marble tablets into an empty site, one of them not looked at yet.

Prints the door of its organiser, the cemetery's slug and the number of the stone.
"""

import json
import sys
from datetime import timedelta

import django

django.setup()

from django.db import transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator.log_in_link import link_for  # noqa: E402
from tests import factories  # noqa: E402
from workdays.models import CemeterySetting, Section, Stone  # noqa: E402

LEANING = "C-3"


def main() -> None:
    """Seed, and print what the test needs to know."""
    now = timezone.now()
    with transaction.atomic():
        cemetery = factories.make_cemetery(name="Alder Hill", slug="alder-hill")
        CemeterySetting.objects.create(
            cemetery=cemetery, key="volunteer_resets", value=True, source="letter of the township"
        )
        on = now.astimezone(cemetery.zone).date()
        factories.make_permission(
            cemetery, starts_on=on - timedelta(days=60), ends_on=on + timedelta(days=300)
        )
        section = factories.make_section(cemetery, name="Old hill")
        stones = [tablet(section, place) for place in (1, 2, 3, 4)]
        user = factories.make_user(email="ruth@hollin.example")
        factories.make_staff(name="Ruth Okafor", user=user)
    (stone,) = (stone for stone in stones if stone.number == LEANING)
    seeded = {"door": link_for(user), "slug": cemetery.slug, "stone": stone.pk}
    sys.stdout.write(json.dumps(seeded))


def tablet(section: Section, place: int) -> Stone:
    """Make one tablet of the row; all but the leaning one are sound."""
    stone = factories.make_stone(
        section,
        number=f"C-{place}",
        row=1,
        position=place,
        height_cm=75,
        width_cm=40,
        thickness_cm=5,
        east_m=2.0 * place,
        north_m=1.0,
    )
    if stone.number != LEANING:
        factories.conclude(stone, needs=[])
    return stone


main()
