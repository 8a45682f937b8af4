"""Whom an adult may name, and who may not be left alone."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from workdays.rules.eligibility import DayState, Held, OpenDay, State, next_offers
from workdays.rules.parties import (
    MOST_NAMED,
    Ages,
    Companion,
    Member,
    adults_lacking,
    age_on,
    goes_along,
    refusals_of,
    too_many_for,
    warned_from,
)

ON = date(2026, 5, 9)
AGES = Ages(ON, 18)
NOW = datetime(2026, 5, 6, 14, tzinfo=UTC)
DAY = OpenDay(DayState.OPEN, datetime(2026, 5, 9, 13, tzinfo=UTC), NOW.replace(day=8), 10)


def child(**overrides: object) -> Companion:
    values: dict[str, object] = {
        "line": 2,
        "name": "Bo",
        "born_on": date(2014, 6, 30),
        "relation": "mother",
        "agrees": True,
        "signs": True,
    }
    return Companion(**(values | overrides))  # type: ignore[arg-type]


def codes(*named: Companion) -> list[str]:
    return [r.code for r in refusals_of(named, mailbox="ana@hollin.example", ages=AGES)]


def test_an_adult_by_mailbox_and_a_child_by_birth_date_may_be_named() -> None:
    assert codes(Companion(1, "Rui", email="rui@hollin.example"), child()) == []


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"name": ""}, "with2_name"),
        ({"email": "bo@hollin.example"}, "with2_email"),
        ({"born_on": None}, "with2_email"),
        ({"born_on": date(1899, 12, 31)}, "with2_born_on"),
        ({"born_on": ON}, "with2_born_on"),
        ({"born_on": date(2100, 1, 1)}, "with2_born_on"),
        ({"born_on": date(2008, 5, 9)}, "with2_born_on"),
        ({"relation": ""}, "with2_relation"),
        ({"agrees": False}, "with2_agrees"),
        ({"signs": False}, "with2_signs"),
    ],
)
def test_what_is_wrong_with_a_child_stands_beside_its_field(
    wrong: dict[str, object], code: str
) -> None:
    assert codes(child(**wrong)) == [code]


def test_who_is_of_age_the_day_after_is_a_minor_still() -> None:
    assert codes(child(born_on=date(2008, 5, 10))) == []


def test_the_law_of_the_place_decides_who_is_a_minor() -> None:
    eighteen = child(born_on=date(2008, 1, 1))
    assert refusals_of([eighteen], mailbox="", ages=Ages(ON, 19)) == []


@pytest.mark.parametrize(
    ("on", "age"), [(date(2026, 2, 28), 17), (date(2026, 3, 1), 18), (date(2028, 2, 29), 20)]
)
def test_a_birthday_on_29_february(on: date, age: int) -> None:
    assert age_on(date(2008, 2, 29), on) == age


def test_a_mailbox_stands_in_a_party_once_and_is_not_that_of_who_signs_up() -> None:
    twice = [
        Companion(n, "Rui", email=mail) for n, mail in enumerate(("a@x.example", "A@x.example"))
    ]
    assert codes(*twice) == ["with1_email"]
    assert codes(Companion(1, "Rui", email="ANA@hollin.example")) == ["with1_email"]


def test_a_form_names_no_more_than_its_lines_and_a_party_no_more_than_the_day_has_places() -> None:
    many = [Companion(n, "P", email=f"p{n}@x.example") for n in range(MOST_NAMED + 1)]
    assert codes(*many) == ["companions"]
    assert codes(*many[:-1]) == []
    assert too_many_for(5, 4)
    assert not too_many_for(4, 4)


@pytest.mark.parametrize(
    ("adults", "minors", "lacking"), [(0, 0, False), (1, 0, False), (1, 2, True), (2, 9, False)]
)
def test_two_adults_are_there_when_minors_come(adults: int, minors: int, lacking: bool) -> None:
    assert bool(adults_lacking(adults=adults, minors=minors)) is lacking


def test_minors_go_with_their_guardian_and_adults_only_before_they_were_asked() -> None:
    members = [Member(1, True, False), Member(2, False, True), Member(3, False, False)]
    assert goes_along(members) == [1, 3]


def test_the_warning_comes_at_six_on_the_evening_before_by_the_clock_of_the_place() -> None:
    zone = ZoneInfo("America/Detroit")
    cut_off = datetime(2026, 3, 8, 18, tzinfo=zone)  # clocks go forward that night
    assert warned_from(cut_off).isoformat() == "2026-03-07T18:00:00-05:00"


def test_a_party_is_offered_places_for_all_or_none_and_nobody_passes_it() -> None:
    line = [
        Held(1, State.WAITING, NOW, people=4),
        Held(2, State.WAITING, NOW, people=1),
    ]
    full = [Held(n, State.COMING, NOW) for n in range(10, 17)]
    assert [o.number for o in next_offers(DAY, [*full, *line], now=NOW)] == []
    assert [o.number for o in next_offers(DAY, [*full[:5], *line], now=NOW)] == [1, 2]
    assert [o.number for o in next_offers(DAY, [*full[:6], *line], now=NOW)] == [1]


def test_a_party_that_can_never_fit_keeps_nobody_out() -> None:
    line = [Held(1, State.WAITING, NOW, people=11), Held(2, State.WAITING, NOW)]
    assert [offer.number for offer in next_offers(DAY, line, now=NOW)] == [2]
