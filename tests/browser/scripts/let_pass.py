"""Move the cut-off of one day, and what is held no longer than that, to a minute ago."""

import json
import sys
from datetime import timedelta

import django

django.setup()

from django.utils import timezone  # noqa: E402

from workdays.models import Party, SignUp, Workday  # noqa: E402

PASSED = timezone.now() - timedelta(minutes=1)


def main(day: int) -> None:
    """Write as the clock would have it."""
    until = Workday.objects.get(pk=day).cut_off_at
    SignUp.objects.filter(day=day, held_until__lte=until).update(held_until=PASSED)
    Party.objects.filter(day=day, held_until__lte=until).update(held_until=PASSED)
    Workday.objects.filter(pk=day).update(cut_off_at=PASSED)
    sys.stdout.write(json.dumps({}))


main(int(sys.argv[1]))
