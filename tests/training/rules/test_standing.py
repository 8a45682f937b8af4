from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.rules.standing import (
    AttendanceFacts,
    CountersignedFacts,
    LedgerFacts,
    Level,
    Requirement,
    SignOffFacts,
    hours_and_minutes,
    missing,
    progress,
    standing,
    standings,
)

ALDER_HILL, NORTH_RIDGE = 1, 2
BEN, ANA = 10, 11
SPRING = date(2026, 4, 18)
DAY = date(2026, 5, 9)
CLEANING = Requirement("cleaning", "gentle cleaning", minutes=480, stones=6)

TAUGHT = AttendanceFacts(ANA, "cleaning", SPRING)
HALF = CountersignedFacts(ANA, "cleaning", SPRING, minutes=240, stones=3)
SIGNED = SignOffFacts(ANA, "cleaning", Level.SIGNED_OFF, SPRING)


def level(
    ledger: LedgerFacts, *, person: int = ANA, cemetery: int = ALDER_HILL, on: date = DAY
) -> Level:
    return standing(ledger, CLEANING, person=person, cemetery=cemetery, on=on)


def said(ledger: LedgerFacts) -> str:
    return missing(ledger, CLEANING, person=ANA, cemetery=ALDER_HILL, on=DAY)


def test_somebody_without_rows_is_new() -> None:
    assert level(LedgerFacts()) is Level.NEW


def test_a_clinic_makes_taught_from_its_day_on_in_that_skill_only() -> None:
    ledger = LedgerFacts(attendances=(TAUGHT,))
    assert level(ledger) is Level.TAUGHT
    assert level(ledger, on=SPRING) is Level.TAUGHT
    assert level(ledger, on=SPRING - timedelta(days=1)) is Level.NEW
    assert level(ledger, person=BEN) is Level.NEW
    other = LedgerFacts(attendances=(replace(TAUGHT, skill="resetting"),))
    assert level(other) is Level.NEW


def test_countersigned_minutes_and_stones_are_both_asked_for() -> None:
    enough = (HALF, HALF)
    assert level(LedgerFacts(countersigned=enough)) is Level.PRACTISED
    assert level(LedgerFacts(countersigned=(HALF, replace(HALF, minutes=239)))) is Level.NEW
    assert level(LedgerFacts(countersigned=(HALF, replace(HALF, stones=2)))) is Level.NEW
    assert level(LedgerFacts(countersigned=enough), on=SPRING - timedelta(days=1)) is Level.NEW
    assert level(LedgerFacts(countersigned=(HALF, replace(HALF, person=BEN)))) is Level.NEW
    assert (
        progress(LedgerFacts(countersigned=enough), "cleaning", person=ANA, on=DAY).minutes == 480
    )


def test_nothing_asked_for_is_not_practised_by_doing_nothing() -> None:
    nothing = Requirement("raking", "raking and debris", minutes=0)
    asked = {"person": ANA, "cemetery": ALDER_HILL, "on": DAY}
    assert standing(LedgerFacts(), nothing, **asked) is Level.NEW  # type: ignore[arg-type]
    worked = LedgerFacts(countersigned=(replace(HALF, skill="raking", minutes=15),))
    assert standing(worked, nothing, **asked) is Level.PRACTISED  # type: ignore[arg-type]
    sentence = missing(LedgerFacts(), nothing, **asked)  # type: ignore[arg-type]
    assert "some work under a supervisor" in sentence


def test_a_sign_off_holds_from_its_day_until_it_is_revoked() -> None:
    revoked = LedgerFacts(sign_offs=(replace(SIGNED, revoked_on=DAY),), attendances=(TAUGHT,))
    assert level(LedgerFacts(sign_offs=(SIGNED,)), on=SPRING) is Level.SIGNED_OFF
    assert level(LedgerFacts(sign_offs=(SIGNED,)), on=SPRING - timedelta(days=1)) is Level.NEW
    assert level(revoked, on=DAY - timedelta(days=1)) is Level.SIGNED_OFF
    assert level(revoked, on=DAY) is Level.TAUGHT


def test_revoking_the_higher_sign_off_leaves_the_lower_one() -> None:
    higher = replace(SIGNED, level=Level.SUPERVISOR, revoked_on=DAY)
    ledger = LedgerFacts(sign_offs=(SIGNED, higher))
    assert level(ledger, on=DAY - timedelta(days=1)) is Level.SUPERVISOR
    assert level(ledger) is Level.SIGNED_OFF


def test_a_sign_off_that_names_cemeteries_holds_only_there() -> None:
    here = replace(SIGNED, level=Level.SUPERVISOR, cemeteries=frozenset({ALDER_HILL}))
    ledger = LedgerFacts(sign_offs=(here,))
    assert level(ledger) is Level.SUPERVISOR
    assert level(ledger, cemetery=NORTH_RIDGE) is Level.NEW


def test_what_is_missing_is_said_for_each_level() -> None:
    clinic = "To count as taught: take part in a clinic on gentle cleaning. "
    all_of_it = "To count as practised: 8 hours and 6 stones under a supervisor, countersigned."
    assert said(LedgerFacts()) == clinic + all_of_it
    taught = LedgerFacts(attendances=(TAUGHT,))
    assert said(taught) == all_of_it
    half = replace(taught, countersigned=(replace(HALF, minutes=419, stones=5),))
    assert said(half) == (
        "To count as practised: 1 hour 1 minute and 1 stone under a supervisor, countersigned."
    )
    assert said(LedgerFacts(countersigned=(HALF, HALF))).startswith("To be signed off:")
    assert said(LedgerFacts(sign_offs=(SIGNED,))).startswith("To supervise others:")
    top = LedgerFacts(sign_offs=(replace(SIGNED, level=Level.SUPERVISOR),))
    assert said(top) == "Holds the highest level in gentle cleaning."


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0, "0 minutes"), (1, "1 minute"), (60, "1 hour"), (150, "2 hours 30 minutes")],
)
def test_lengths_of_time_in_words(minutes: int, words: str) -> None:
    assert hours_and_minutes(minutes) == words


def test_levels_have_words_and_an_order() -> None:
    assert [item.word for item in Level] == [
        "new",
        "taught",
        "practised",
        "signed off",
        "supervisor",
    ]


def test_many_people_at_once_get_the_same_levels_as_one_by_one() -> None:
    raking = Requirement("raking", "raking and debris", minutes=120)
    ledger = LedgerFacts((SIGNED,), (replace(TAUGHT, person=BEN),), (HALF,))
    table = standings(ledger, [CLEANING, raking], people=[ANA, BEN], cemetery=ALDER_HILL, on=DAY)
    assert table == {
        (ANA, "cleaning"): Level.SIGNED_OFF,
        (ANA, "raking"): Level.NEW,
        (BEN, "cleaning"): Level.TAUGHT,
        (BEN, "raking"): Level.NEW,
    }


@given(st.permutations([SIGNED, replace(SIGNED, level=Level.SUPERVISOR, revoked_on=DAY)]))
def test_the_order_of_rows_does_not_matter(rows: list[SignOffFacts]) -> None:
    assert level(LedgerFacts(sign_offs=tuple(rows))) is Level.SIGNED_OFF


@given(
    st.lists(st.tuples(st.integers(0, 300), st.integers(0, 4), st.integers(-30, 30)), max_size=8),
    st.integers(0, 40),
)
def test_without_revocation_a_level_never_falls_as_time_passes(
    drawn: list[tuple[int, int, int]], later: int
) -> None:
    ledger = LedgerFacts(
        countersigned=tuple(
            CountersignedFacts(ANA, "cleaning", DAY + timedelta(days=days), minutes, stones)
            for minutes, stones, days in drawn
        )
    )
    assert level(ledger) <= level(ledger, on=DAY + timedelta(days=later))
