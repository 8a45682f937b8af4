"""Which pictures the public may see."""

from datetime import date

import pytest

from workdays.rules.gallery import PairFacts, refusals_to_allow, refusals_to_show

TODAY = date(2026, 5, 6)


def test_a_pair_without_people_is_shown_with_the_owners_leave() -> None:
    assert refusals_to_show(PairFacts(TODAY), today=TODAY) == []


@pytest.mark.parametrize(
    ("pair", "code"),
    [
        (PairFacts(None), "no-leave"),
        (PairFacts(date(2026, 5, 7)), "no-leave"),
        (PairFacts(TODAY, is_pair=False), "no-pair"),
        (PairFacts(TODAY, shows_people=True), "people"),
        (PairFacts(TODAY, family_refused=True), "family"),
    ],
)
def test_anything_else_is_not_shown_and_says_why(pair: PairFacts, code: str) -> None:
    assert [refusal.code for refusal in refusals_to_show(pair, today=TODAY)] == [code]


@pytest.mark.parametrize(
    ("on", "words", "codes"),
    [
        (TODAY, "Letter of the trustees, 1 May 2026", []),
        (None, "  ", []),
        (None, "Letter of the trustees", ["no-date"]),
        (TODAY, "yes", ["no-words"]),
        (date(2026, 5, 7), "", ["no-date", "no-words"]),
    ],
)
def test_a_leave_has_a_day_and_a_source(on: date | None, words: str, codes: list[str]) -> None:
    assert [refusal.code for refusal in refusals_to_allow(on, words, today=TODAY)] == codes
