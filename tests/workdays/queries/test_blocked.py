"""What the database says of a job is what the rule says of it, reason by reason."""

import random
from datetime import timedelta

import pytest

from tests.workdays.queries.ground_of_all_sorts import ON, by_database, by_rule, make_place
from workdays.queries.blocked import BITS


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(6))
def test_the_database_tells_the_same_reasons_as_the_rule(seed: int) -> None:
    dice = random.Random(seed)
    place, other = (make_place(dice, jobs=40) for _ in range(2))
    for on in (ON, ON - timedelta(days=200), ON + timedelta(days=400)):
        for here in (place, other):
            assert by_database(here, on) == by_rule(here, on)


@pytest.mark.django_db
def test_every_reason_is_among_those_that_are_compared() -> None:
    dice = random.Random(1)
    seen: set[str] = set()
    for _ in range(6):
        for codes in by_rule(make_place(dice, jobs=40), ON).values():
            seen |= codes
    assert seen == set(BITS)
