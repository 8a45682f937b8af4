"""Print the door of each role in the demo, and the number of its next day."""

import json
import sys

import django

django.setup()

from django.utils import timezone  # noqa: E402

from coordinator import links  # noqa: E402
from coordinator.log_in_link import link_for  # noqa: E402
from workdays.models import Host, Membership, SignUp  # noqa: E402


def staff(role: str) -> str:
    """Return the log-in link of the first member of the staff with a role."""
    user = Membership.objects.filter(role=role).earliest("pk").person.user
    assert user is not None
    return link_for(user)


def main() -> None:
    """Print everything as JSON."""
    coming = SignUp.objects.filter(
        state=SignUp.State.COMING, day__starts_at__gt=timezone.now(), person__user=None
    )
    row = coming.order_by("day__starts_at", "pk")[0]
    doors = {
        "organiser": staff(Membership.Role.ORGANISER),
        "supervisor": staff(Membership.Role.SUPERVISOR),
        "volunteer": links.absolute("own_page", row.person.secret),
        "host": links.absolute("host_page", Host.objects.earliest("pk").secret),
    }
    sys.stdout.write(json.dumps({"doors": doors, "day": row.day_id, "sign_up": row.pk}))


main()
