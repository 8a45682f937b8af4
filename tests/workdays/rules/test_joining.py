"""When two rows may be joined as one person, and what a person must judge."""

from dataclasses import replace
from datetime import date

import pytest

from workdays.rules.joining import (
    OneRow,
    Pair,
    doubts,
    refusals_to_join,
    refusals_without_reason,
    which_stays,
)

ONE, OTHER = OneRow(1), OneRow(2)
PAIR = Pair(ONE, OTHER)


@pytest.mark.parametrize(
    ("other", "stays"),
    [
        (OTHER, 1),
        (replace(OTHER, logs_in=True), 2),
        (replace(OTHER, others=1), 2),
        (replace(OTHER, confirmed=False), 1),
    ],
)
def test_who_logs_in_or_has_others_or_is_older_stays(other: OneRow, stays: int) -> None:
    assert which_stays(ONE, other) == which_stays(other, ONE) == stays


def test_who_answered_a_mail_stays_before_the_older() -> None:
    assert which_stays(replace(ONE, confirmed=False), OTHER) == 2


@pytest.mark.parametrize(
    ("pair", "codes"),
    [
        (PAIR, []),
        (Pair(ONE, ONE), ["same"]),
        (replace(PAIR, other=replace(OTHER, is_joined=True)), ["joined"]),
        (Pair(replace(ONE, others=1), replace(OTHER, others=1)), ["joined"]),
        (Pair(replace(ONE, others=1), replace(OTHER, logs_in=True)), ["joined"]),
        (Pair(replace(ONE, others=1), OTHER), []),
        (Pair(replace(ONE, logs_in=True), OTHER), []),
        (Pair(replace(ONE, logs_in=True), replace(OTHER, logs_in=True)), ["logins"]),
        (replace(PAIR, staff_elsewhere=True), ["staff"]),
        (replace(PAIR, guardian=True), ["guardian"]),
        (replace(PAIR, shared_days=["Saturday 9 May at Alder Hill"]), ["day"]),
    ],
)
def test_some_pairs_are_never_one(pair: Pair, codes: list[str]) -> None:
    assert [refusal.code for refusal in refusals_to_join(pair)] == codes


BORN = replace(ONE, born_on=date(1970, 1, 2))
SIGNED = replace(ONE, signed_as=["Ana Costa"])


@pytest.mark.parametrize(
    ("pair", "words"),
    [
        (PAIR, ""),
        (Pair(BORN, replace(OTHER, born_on=date(1970, 1, 2))), ""),
        (Pair(BORN, OTHER), ""),
        (Pair(BORN, replace(OTHER, born_on=date(1970, 2, 1))), "birth dates"),
        (Pair(ONE, replace(OTHER, is_adult=False)), "minor"),
        (Pair(SIGNED, replace(OTHER, signed_as=["ana  COSTA"])), ""),
        (Pair(SIGNED, replace(OTHER, signed_as=["Anna Kosta"])), "different names"),
    ],
)
def test_what_is_a_matter_of_judgement_wants_a_reason(pair: Pair, words: str) -> None:
    assert words in " ".join(doubts(pair))
    assert bool(doubts(pair)) == bool(words)
    assert bool(refusals_without_reason(pair, " ")) == bool(words)
    assert refusals_without_reason(pair, "I know her.") == []
