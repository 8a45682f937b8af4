from __future__ import annotations

import pytest

from workdays.rules.kinds import KindFacts


@pytest.mark.parametrize("flag", ["touches", "lifts", "digs", "wets", "mixed_batch"])
def test_any_act_on_the_stone_is_hands_on(flag: str) -> None:
    assert KindFacts("k", "Kind", **{flag: True}).hands_on


def test_looking_and_raking_are_neither_hands_on_nor_heavy() -> None:
    kind = KindFacts("survey", "Survey", adults_only=True, needs_supervisor=True)
    assert (kind.hands_on, kind.heavy) == (False, False)


@pytest.mark.parametrize("flag", ["lifts", "digs"])
def test_lifting_and_digging_are_heavy(flag: str) -> None:
    assert KindFacts("k", "Kind", **{flag: True}).heavy
