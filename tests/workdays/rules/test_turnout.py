"""How signatures stand on a day, and parts of the list."""

from datetime import date

import pytest

from training.rules.standing import Level
from workdays.rules.turnout import Listed, Signed, is_within, missed_words, waiver_words

ANA = Listed(
    signed=False,
    minor=True,
    waits=False,
    new=True,
    missed=False,
    party=3,
    levels={"cleaning": Level.PRACTISED},
    brings=frozenset({"bucket"}),
)
IN = [
    *("unsigned", "minors", "new", "coming", "party-3", "brings-bucket"),
    *("level-cleaning-1", "level-cleaning-2", "level-raking-0"),
]
NOT_IN = [
    *("waiting", "missed", "party-4", "party-0", "\0", "", "brings-", "brings-truck"),
    *("level-cleaning-3", "level-cleaning-0", "level-raking-1", "level-cleaning-9", "level--0"),
]


@pytest.mark.parametrize(
    ("signatures", "valid", "words"),
    [
        ([], False, "missing"),
        ([Signed()], True, "signed"),
        ([Signed(paper=True)], True, "signed on paper"),
        ([Signed(withdrawn=True)], False, "taken back"),
        ([Signed(confirmed=False)], False, "link not answered"),
        ([Signed(ran_out=True), Signed(withdrawn=True)], False, "runs out before the day"),
        ([Signed()], False, "signed another text"),
        ([Signed(other_day=True, ran_out=True)], False, "signed for another day"),
        ([Signed(outgrown=True)], False, "of age now: signs alone"),
    ],
)
def test_a_waiver_is_told_by_why_it_does_not_hold(
    signatures: list[Signed], valid: bool, words: str
) -> None:
    assert waiver_words(signatures, valid=valid) == words


def test_missed_days_are_told_with_the_last() -> None:
    on = date(2026, 4, 4)
    assert missed_words(1, on) == "did not come once, Saturday 4 April 2026"
    assert missed_words(2, on) == "did not come two times, last Saturday 4 April 2026"


@pytest.mark.parametrize("show", IN)
def test_somebody_is_in_the_parts_that_they_belong_to(show: str) -> None:
    assert is_within(ANA, show)


@pytest.mark.parametrize("show", NOT_IN)
def test_and_in_no_other(show: str) -> None:
    assert not is_within(ANA, show)
