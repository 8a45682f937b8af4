"""Put a cemetery with one section and its organiser into an empty site."""

import json
import sys

import django

django.setup()

from django.db import transaction  # noqa: E402

from coordinator.log_in_link import link_for  # noqa: E402
from tests import factories  # noqa: E402


def main() -> None:
    """Seed, and print the organiser's door."""
    with transaction.atomic():
        place = factories.make_cemetery(name="Alder Hill", slug="alder-hill")
        factories.make_section(place, name="Old ground")
        user = factories.make_user(email="ruth@hollin.example")
        factories.make_staff(name="Ruth Okafor", user=user)
    sys.stdout.write(json.dumps({"door": link_for(user)}))


main()
