from __future__ import annotations

import dataclasses

import pytest

from workdays.rules.refusals import Refusal, sentences


def test_a_refusal_cannot_be_changed_after_it_was_given() -> None:
    refusal = Refusal("past", "The day is over.")
    with pytest.raises(dataclasses.FrozenInstanceError):
        refusal.code = "other"  # type: ignore[misc]


def test_the_same_sentence_is_said_once_and_order_is_kept() -> None:
    refusals = [Refusal("b", "Two."), Refusal("a", "One."), Refusal("c", "Two.")]
    assert sentences(refusals) == ["Two.", "One."]
