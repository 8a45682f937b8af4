from __future__ import annotations

from datetime import date

from workdays.rules.looking import refusals_to_record
from workdays.rules.picturing import refusals_to_keep, refusals_to_pair
from workdays.rules.refusals import Refusal
from workdays.rules.triage import SurveyFacts

TODAY = date(2026, 5, 6)


def codes(refusals: list[Refusal]) -> list[str]:
    return [refusal.code for refusal in refusals]


def test_a_picture_is_of_today_or_before() -> None:
    assert refusals_to_keep(TODAY, today=TODAY) == []
    assert codes(refusals_to_keep(date(2026, 5, 7), today=TODAY)) == ["future"]
    assert refusals_to_keep(date(1900, 1, 1), today=TODAY) == []
    assert codes(refusals_to_keep(date(1899, 12, 31), today=TODAY)) == ["too-old"]


def test_before_and_after_may_be_of_one_day() -> None:
    def pair(before: date, after: date, *, place: bool = True, same: bool = False) -> list[str]:
        return codes(
            refusals_to_pair(same_place=place, same_picture=same, before_on=before, after_on=after)
        )

    assert pair(TODAY, TODAY) == []
    assert pair(TODAY, date(2026, 5, 5)) == ["order"]
    assert pair(TODAY, TODAY, place=False) == ["other-place"]
    assert pair(TODAY, TODAY, same=True) == ["same-picture"]


def test_a_stone_has_not_sunk_deeper_than_twice_its_noted_height() -> None:
    def sunk(depth: int | None, height: int | None) -> list[str]:
        facts = SurveyFacts(on=TODAY)
        return codes(
            refusals_to_record(
                facts, pieces=None, stone_height_cm=height, today=TODAY, depth_sunk_cm=depth
            )
        )

    assert sunk(200, 100) == sunk(300, None) == sunk(None, 100) == []
    assert sunk(201, 100) == ["too-deep"]
