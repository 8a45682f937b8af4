from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.kinds import KindFacts
from workdays.rules.weather import HourReason, HourVerdict, Verdict, Window, hours_of
from workdays.rules.weather_call import (
    Decision,
    Opening,
    Proposal,
    activity,
    heading,
    proposal,
    workable,
)

ZONE = ZoneInfo("America/New_York")
NINE = datetime(2026, 5, 9, 9, 0, tzinfo=ZONE)
DAY = Window(NINE, NINE + timedelta(hours=6))
RAKING = KindFacts("raking", "Raking")
CLEANING = KindFacts("cleaning", "Cleaning", wets=True)
RESETTING = KindFacts("resetting", "Resetting", lifts=True)
WORD = {"o": Verdict.ON, "w": Verdict.WATCH, "x": Verdict.OFF}
STOP = HourReason(Verdict.OFF, "Air 36. Wet work stops.", "a maker", "coldest-air")
EYE = HourReason(Verdict.WATCH, "Gusts.", "none", "gusts")


def row(letters: str, window: Window = DAY) -> tuple[HourVerdict, ...]:
    """Return verdicts of hours from letters: o on, w watch, x off."""
    moments = hours_of(window)
    assert len(moments) == len(letters)
    reasons = {"o": (), "w": (EYE,), "x": (STOP, EYE)}
    return tuple(
        HourVerdict(at, WORD[letter], reasons[letter])
        for at, letter in zip(moments, letters, strict=True)
    )


def proposed(*letters: str, rain: bool = True) -> Proposal:
    kinds = (RAKING, CLEANING, RESETTING)[: len(letters)]
    rows = {kind.key: row(word) for kind, word in zip(kinds, letters, strict=True)}
    return proposal(kinds, rows, window=DAY, has_rain_date=rain)


def said(*letters: str) -> str:
    kinds = (RAKING, CLEANING, RESETTING)[: len(letters)]
    rows = {kind.key: row(word) for kind, word in zip(kinds, letters, strict=True)}
    return heading(kinds, rows, day="Saturday", place="Alder Hill").removeprefix(
        "Saturday at Alder Hill: "
    )


def times(found: Proposal) -> tuple[int, int]:
    return found.starts_at.hour, found.ends_at.hour


def test_the_heading_answers_in_one_sentence() -> None:
    rows = {"raking": row("oooowo"), "cleaning": row("xwoooo")}
    assert heading((RAKING, CLEANING), rows, day="Saturday", place="Alder Hill") == (
        "Saturday at Alder Hill: raking can go on, cleaning must wait until 11:00"
    )


@pytest.mark.parametrize(
    ("letters", "words"),
    [
        (("oooooo",), "raking can go on"),
        (("xxxxxx",), "raking is off all day"),
        (("oooxxx",), "raking must end by 12:00"),
        (("xoooox",), "raking can go on from 10:00 to 14:00"),
        (("xwwwww",), "raking must wait until 10:00"),
        (("oxxooo",), "raking must stop from 10:00 to 12:00"),
        (("oxoxoo",), "raking must stop from 10:00 to 11:00 and from 12:00 to 13:00"),
        (("xxxxxx", "xxxxxx"), "raking and cleaning are off all day"),
        (
            ("oooooo", "xooooo", "owoooo"),
            "raking and resetting can go on, cleaning must wait until 10:00",
        ),
        (("oooooo", "oooooo", "oooooo"), "raking, cleaning and resetting can go on"),
        ((), "no work is planned"),
    ],
)
def test_phrases(letters: tuple[str, ...], words: str) -> None:
    assert said(*letters) == words


def test_a_fair_day_stands() -> None:
    found = proposed("oooooo", "owwwoo")
    assert (found.decision, times(found)) == (Decision.STANDS, (9, 15))
    assert found.sentence == "Raking and cleaning can go on."
    assert found.reasons == ()


def test_a_cold_morning_starts_later_when_the_watch_is_over() -> None:
    found = proposed("oooooo", "xwoooo")
    assert (found.decision, times(found)) == (Decision.SHORTENED, (11, 15))
    assert found.sentence == "Start at 11:00, raking and cleaning can go on."
    assert found.reasons == (STOP.sentence,)


def test_thunder_in_the_afternoon_ends_the_day_earlier() -> None:
    found = proposed("ooooxx", "ooooxx")
    assert (found.decision, times(found)) == (Decision.SHORTENED, (9, 13))
    assert found.sentence.startswith("End at 13:00, ")


def test_both_ends_can_be_cut() -> None:
    assert proposed("xoooxx").sentence.startswith("Start at 10:00 and end at 13:00, ")


def test_a_watch_until_the_end_is_not_waited_for() -> None:
    assert times(proposed("xwwwww")) == (10, 15)


def test_work_that_is_off_all_day_is_left_out_and_the_day_stands() -> None:
    found = proposed("oooooo", "xxxxxx")
    assert (found.decision, times(found)) == (Decision.STANDS, (9, 15))
    assert found.sentence == "Raking can go on, cleaning is off all day."


def test_work_with_few_hours_of_its_own_does_not_shorten_the_day_of_the_others() -> None:
    found = proposed("oooooo", "xxxxoo")
    assert (found.decision, times(found)) == (Decision.STANDS, (9, 15))
    assert found.sentence == "Raking can go on, cleaning must wait until 13:00."


def test_kinds_that_share_no_hour_keep_to_their_own() -> None:
    assert proposed("oooxxx", "xxxooo").decision is Decision.STANDS


def test_a_late_hour_on_does_not_push_the_start_past_the_shared_end() -> None:
    assert times(proposed("oooooo", "xwwwxo")) == (10, 13)


def test_without_two_hours_together_the_day_moves_or_is_called_off() -> None:
    moved, off = proposed("xoxxox"), proposed("xoxxox", rain=False)
    assert (moved.decision, off.decision) == (Decision.MOVED, Decision.CALLED_OFF)
    assert "rain date" in moved.sentence
    assert off.sentence == "No work has two hours together: call the day off."
    assert off.reasons == (STOP.sentence,)


def test_a_day_without_planned_work_stands() -> None:
    found = proposed()
    assert (found.decision, found.sentence) == (Decision.STANDS, "No work is planned.")


def test_a_day_shorter_than_two_hours_is_worth_it_when_all_of_it_is_open() -> None:
    short = Window(NINE, NINE + timedelta(hours=1))
    rows = {"raking": row("o", short)}
    found = proposal((RAKING,), rows, window=short, has_rain_date=False)
    assert found.decision is Decision.STANDS


def test_activities_stand_inside_a_sentence() -> None:
    assert activity(KindFacts("cleaning", "Gentle cleaning")) == "gentle cleaning"


def test_quarter_hours_leave_out_what_is_off_and_mark_what_is_on_watch() -> None:
    assert workable(row("xwooxw"), window=DAY) == (
        Opening(4, 16, ((4, 8),)),
        Opening(20, 24, ((20, 24),)),
    )
    assert workable(row("xxxxxx"), window=DAY) == ()


def test_quarter_hours_are_cut_to_a_day_that_starts_between_hours() -> None:
    window = Window(NINE + timedelta(minutes=45), NINE + timedelta(hours=2, minutes=15))
    assert workable(row("oow", window), window=window) == (Opening(0, 6, ((5, 6),)),)


@pytest.mark.parametrize("start", [(2026, 3, 8), (2026, 11, 1)])
def test_quarter_hours_are_right_on_clock_changes(start: tuple[int, int, int]) -> None:
    first = datetime(*start, tzinfo=ZONE)
    last = (first.astimezone(UTC) + timedelta(hours=4)).astimezone(ZONE)
    window = Window(first, last)
    assert workable(row("oxoo", window), window=window) == (Opening(0, 4), Opening(8, 16))


@given(st.text("owx", min_size=6, max_size=6))
def test_openings_hold_every_hour_that_is_not_off_and_no_other(letters: str) -> None:
    openings = workable(row(letters), window=DAY)
    covered = {hour for o in openings for hour in range(o.start // 4, o.end // 4)}
    assert covered == {n for n, letter in enumerate(letters) if letter != "x"}
    watched = {
        hour for o in openings for start, end in o.watched for hour in range(start // 4, end // 4)
    }
    assert watched == {n for n, letter in enumerate(letters) if letter == "w"}


@given(
    st.text("owx", min_size=6, max_size=6),
    st.text("owx", min_size=6, max_size=6),
    st.booleans(),
)
def test_a_proposal_always_lies_inside_the_day(first: str, second: str, rain: bool) -> None:
    found = proposed(first, second, rain=rain)
    assert DAY.starts_at <= found.starts_at < found.ends_at <= DAY.ends_at
    cut = (found.starts_at, found.ends_at) != (DAY.starts_at, DAY.ends_at)
    assert cut is (found.decision is Decision.SHORTENED)
    if "x" not in first + second:
        assert found.decision is Decision.STANDS
