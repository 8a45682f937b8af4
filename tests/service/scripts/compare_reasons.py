"""Judge jobs of every sort twice, by the database and by the rule; print how many, which differ."""

import json
import random
import sys
from datetime import timedelta

import django

django.setup()

from tests.workdays.queries.ground_of_all_sorts import (  # noqa: E402
    ON,
    by_database,
    by_rule,
    make_place,
)


def main(seed: int) -> None:
    """Compare two cemeteries on three dates."""
    dice = random.Random(seed)
    jobs, differ = 0, []
    for _ in range(2):
        place = make_place(dice, jobs=60)
        for on in (ON, ON - timedelta(days=200), ON + timedelta(days=400)):
            one, other = by_database(place, on), by_rule(place, on)
            jobs += len(other)
            differ += [pk for pk in {*one, *other} if one.get(pk) != other.get(pk)]
    sys.stdout.write(json.dumps({"jobs": jobs, "differ": differ}))


main(int(sys.argv[1]))
