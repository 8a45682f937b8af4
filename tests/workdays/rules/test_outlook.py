from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.workdays.rules.test_readiness import (
    CLEANING,
    GROUND,
    JOB,
    LEAVE,
    MENDING,
    RAKING,
    RESETTING,
    ZONE,
    after,
)
from workdays.rules.leave import FamilyFacts, FamilyState, PermissionFacts
from workdays.rules.outlook import Outlook, next_in_season, ready_on, ready_words
from workdays.rules.readiness import (
    GroundRules,
    JobToDo,
    PrerequisiteFacts,
    Season,
    months_later,
    why_not_yet,
)
from workdays.rules.refusals import Refusal
from workdays.rules.triage import Conclusion, Kind, Need, Reason

DAY = date(2026, 5, 9)
LONG = replace(LEAVE, starts_on=date(2026, 1, 1), ends_on=date(2031, 12, 31))


def first(job: JobToDo, start: date = DAY, *leaves: PermissionFacts) -> date | None:
    return ready_on(job, start, permissions=leaves or (LONG,), ground=GROUND)


def done(at: str) -> PrerequisiteFacts:
    return PrerequisiteFacts("Bonding", done_at=datetime.fromisoformat(at).replace(tzinfo=ZONE))


def test_a_job_with_nothing_against_it_is_ready_at_once() -> None:
    assert first(JOB) == DAY


def test_it_waits_for_the_next_permission() -> None:
    later = replace(LEAVE, starts_on=date(2027, 4, 1), ends_on=date(2027, 10, 31))
    latest = replace(later, starts_on=date(2028, 4, 1), ends_on=date(2028, 10, 31))
    assert first(JOB, date(2026, 11, 1), latest, LEAVE, later) == date(2027, 4, 1)
    assert first(JOB, date(2026, 11, 1), LEAVE) is None
    raking = replace(later, kinds=frozenset({"raking"}))
    assert first(JOB, date(2026, 11, 1), LEAVE, raking) is None


def test_what_time_does_not_heal_is_not_in_sight() -> None:
    assert first(replace(JOB, conclusion=None)) is None
    assert first(replace(JOB, conclusion=Conclusion(Kind.LEAVE_ALONE))) is None
    assert first(after(PrerequisiteFacts("Resetting, A-14"))) is None
    assert first(after(PrerequisiteFacts("Bonding", same_day=True), wait_hours=24)) is None
    assert first(after(PrerequisiteFacts("Resetting", same_day=True), after_winter=True)) is None


def test_a_look_that_runs_out_before_the_wait_is_over_leaves_nothing() -> None:
    seen = Conclusion(Kind.NEEDS, look_again_on=date(2026, 6, 1))
    job = replace(JOB, conclusion=seen, earliest_on=date(2026, 6, 2))
    assert first(job) is None
    assert first(replace(job, earliest_on=date(2026, 6, 1))) == date(2026, 6, 1)


@pytest.mark.parametrize(
    ("at", "hours", "ready"),
    [
        ("2026-03-07T20:00", 24, date(2026, 3, 9)),
        ("2026-03-08T00:00", 23, date(2026, 3, 9)),
        ("2026-03-08T00:00", 24, date(2026, 3, 10)),
        ("2026-11-01T00:00", 24, date(2026, 11, 2)),
        ("2026-11-01T00:00", 25, date(2026, 11, 2)),
        ("2026-11-01T00:00", 26, date(2026, 11, 3)),
        ("2028-02-28T00:00", 24, date(2028, 2, 29)),
        ("2028-02-29T00:00", 24, date(2028, 3, 1)),
        ("2028-02-29T10:00", 72, date(2028, 3, 4)),
    ],
)
def test_the_first_whole_day_after_a_wait(at: str, hours: int, ready: date) -> None:
    """Worked by hand: a day is ready when the wait is over at its midnight.

    8 March 2026 has 23 hours, so that 23 after its midnight are over at the next midnight and
    24 at 1:00 of Monday. 1 November 2026 has 25: 24 are over at 23:00 of the day itself and 25
    at midnight, both leaving Monday whole; 26 end at 1:00 of Monday. 28 February 2028 is
    followed by the 29th, the 29th by 1 March; 72 hours from 10:00 end on 3 March at 10:00.
    """
    assert first(after(done(at), wait_hours=hours), date(2026, 1, 1)) == ready


def test_the_last_wait_of_several_counts() -> None:
    job = after(done("2026-05-09T09:00"), done("2026-05-11T09:00"), wait_hours=24)
    assert first(job) == date(2026, 5, 13)


def test_season_winter_and_interval_together() -> None:
    """Reset in September 2026: winter over 1 April 2027, season from 1 May, cleaned 10 Dec 2025:
    18 months later is 10 June 2027."""
    job = after(done("2026-09-05T12:00"), after_winter=True, season=Season((5, 1), (9, 30)))
    assert first(job) == date(2027, 5, 1)
    assert first(replace(job, cleaned_on=date(2025, 12, 10))) == date(2027, 6, 10)
    assert first(replace(job, cleaned_on=date(2026, 5, 1))) == date(2028, 5, 1)


def test_further_than_three_years_is_out_of_sight() -> None:
    assert first(replace(JOB, earliest_on=date(2029, 5, 9))) == date(2029, 5, 9)
    assert first(replace(JOB, earliest_on=date(2029, 5, 10))) is None


@pytest.mark.parametrize(
    ("season", "day", "opens"),
    [
        (Season((5, 1), (9, 30)), date(2026, 3, 1), date(2026, 5, 1)),
        (Season((5, 1), (9, 30)), date(2026, 10, 1), date(2027, 5, 1)),
        (Season((10, 1), (3, 31)), date(2026, 5, 1), date(2026, 10, 1)),
        (Season((2, 29), (4, 30)), date(2026, 5, 1), date(2027, 3, 1)),
        (Season((2, 29), (4, 30)), date(2027, 5, 1), date(2028, 2, 29)),
        (Season((2, 29), (2, 29)), date(2026, 5, 1), date(2028, 2, 29)),
        (Season((2, 29), (2, 29)), date(2096, 3, 1), None),
    ],
)
def test_a_season_opens_again(season: Season, day: date, opens: date | None) -> None:
    assert next_in_season(season, day) == opens


def test_how_a_job_stands_is_one_sentence() -> None:
    rest = Refusal("waiting", "What was done before must rest.")
    before = Refusal("prerequisite", "Raking, Old hill must be done first.")
    assert ready_words(Outlook((), DAY), today=DAY) == "Ready now."
    later = Outlook((rest,), date(2027, 5, 1))
    assert ready_words(later, today=DAY) == "From Saturday 1 May 2027."
    assert ready_words(Outlook((rest, before), None), today=DAY) == before.sentence
    assert ready_words(Outlook((rest,), None), today=DAY) == rest.sentence


DATES = st.dates(date(2025, 1, 1), date(2029, 12, 31))
DAYS = st.dates(date(2024, 1, 1), date(2024, 12, 31)).map(lambda day: (day.month, day.day))
KINDS = st.sampled_from([RAKING, CLEANING, RESETTING, MENDING])
WANTED = FamilyFacts(frozenset({"cleaning"}), FamilyState.WANTED)
BARS = Reason("It wobbles.", "a source", bars_wet=True)


@st.composite
def leaves(draw: st.DrawFn) -> PermissionFacts:
    starts_on, days = draw(DATES), draw(st.integers(0, 500))
    return PermissionFacts(
        frozenset(draw(st.sets(st.sampled_from(["raking", "cleaning", "resetting", "mending"])))),
        starts_on,
        starts_on + timedelta(days=days),
    )


@st.composite
def befores(draw: st.DrawFn) -> PrerequisiteFacts:
    zone = ZoneInfo(draw(st.sampled_from(["America/New_York", "Europe/Dublin", "Asia/Beirut"])))
    day, minute = draw(DATES), draw(st.integers(0, 1439))
    return PrerequisiteFacts(
        "Bonding",
        done_at=datetime(day.year, day.month, day.day, minute // 60, minute % 60, tzinfo=zone)
        if draw(st.integers(0, 9))
        else None,
        same_day=draw(st.booleans()),
        dropped=not draw(st.integers(0, 9)),
    )


@st.composite
def conclusions(draw: st.DrawFn) -> Conclusion | None:
    if not draw(st.integers(0, 9)):
        return None
    return Conclusion(
        draw(st.sampled_from([Kind.NEEDS, Kind.NEEDS, Kind.CONSERVATOR, Kind.LEAVE_ALONE])),
        draw(st.frozensets(st.sampled_from(list(Need)))),
        draw(st.none() | DATES),
        draw(st.sampled_from([(), (), (BARS,)])),
    )


@st.composite
def jobs(draw: st.DrawFn) -> JobToDo:
    return JobToDo(
        draw(KINDS),
        on_stone=draw(st.booleans()),
        conclusion=draw(conclusions()),
        led_by_conservator=draw(st.booleans()),
        prerequisites=tuple(draw(st.lists(befores(), max_size=2))),
        wait_hours=draw(st.sampled_from([0, 0, 24, 72, 672])),
        after_winter=draw(st.booleans()),
        earliest_on=draw(st.none() | DATES),
        season=draw(st.none() | st.builds(Season, DAYS, DAYS)),
        cleaned_on=draw(st.none() | DATES),
        families=draw(st.sampled_from([(), (), (), (WANTED,)])),
    )


@settings(max_examples=300, deadline=None)
@given(jobs(), DATES, st.lists(leaves(), max_size=4), st.booleans(), st.integers(0, 40))
def test_the_first_ready_day_agrees_with_asking_each_day(
    job: JobToDo, start: date, permissions: list[PermissionFacts], resets: bool, months: int
) -> None:
    ground = GroundRules(volunteer_resets=resets, clean_again_months=months)
    found = ready_on(job, start, permissions=permissions, ground=ground)
    last = found or months_later(start, 36)
    day = start
    while day <= last:
        ready = not why_not_yet(job, on=day, permissions=permissions, ground=ground)
        assert ready == (day == found)
        day += timedelta(days=1)
