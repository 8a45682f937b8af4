"""What the database says of a job is what the rule says of it, reason by reason."""

import random
from datetime import timedelta

import pytest

from tests.workdays.queries.ground_of_all_sorts import ON, by_database, by_rule, make_place
from workdays.queries.blocked import BITS
from workdays.queries.plan_matches import ready_stones


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(6))
def test_the_database_tells_the_same_reasons_as_the_rule(seed: int) -> None:
    dice = random.Random(seed)
    place, other = (make_place(dice, jobs=40) for _ in range(2))
    for on in (ON, ON - timedelta(days=200), ON + timedelta(days=400)):
        for here in (place, other):
            assert by_database(here, on) == by_rule(here, on)


@pytest.mark.django_db
@pytest.mark.parametrize("seed", [0, 2, 3])
def test_the_plan_marks_stones_as_ready_that_the_rule_calls_ready(seed: int) -> None:
    place = make_place(random.Random(seed), jobs=60)
    stones = dict(place.jobs.values_list("pk", "stone"))
    sections = dict(place.jobs.values_list("pk", "section"))
    counts = []
    for on in (ON, ON - timedelta(days=200), ON + timedelta(days=400)):
        ready = [pk for pk, codes in by_rule(place, on).items() if not codes and stones[pk]]
        assert ready_stones(place, None, on=on) == {stones[pk] for pk in ready}
        for section in place.sections.all():
            here = {stones[pk] for pk in ready if sections[pk] == section.pk}
            assert ready_stones(place, section, on=on) == here
        counts.append(len(ready))
    assert any(counts), "nothing is ever ready: this test would see nothing"


@pytest.mark.django_db
def test_every_reason_is_among_those_that_are_compared() -> None:
    dice = random.Random(1)
    seen: set[str] = set()
    for _ in range(6):
        for codes in by_rule(make_place(dice, jobs=40), ON).values():
            seen |= codes
    assert seen == set(BITS)
