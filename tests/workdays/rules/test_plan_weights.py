"""The points of a day: each has a sentence, nonsense in storage is the usual."""

from dataclasses import fields, replace

from workdays.rules.facts import Weights
from workdays.rules.plan_weights import (
    AIMS,
    BY_KEY,
    HIGH,
    LOW,
    USUAL,
    set_for_the_day,
    weights_of,
)


def test_each_weight_that_a_day_can_have_is_explained_in_a_sentence() -> None:
    named = {one.name for one in fields(Weights)} - {"together"}  # no day has pairs for it
    assert {aim.key for aim in AIMS} == named
    assert all(aim.meaning.endswith(".") and LOW <= aim.usual <= HIGH for aim in AIMS)


def test_only_what_differs_is_stored_and_nonsense_is_the_usual() -> None:
    usual = {aim.key: aim.usual for aim in AIMS}
    assert set_for_the_day(usual) == {}
    assert set_for_the_day({**usual, "idle": 7}) == {"idle": 7}
    assert weights_of({"idle": 7}) == replace(USUAL, idle=7)
    assert weights_of({"idle": -1, "split": "x", "nothing": 3, "moved": HIGH + 1}) == USUAL
    assert BY_KEY["training"].usual == Weights().training
