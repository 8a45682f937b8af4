from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.kinds import KindFacts
from workdays.rules.leave import PermissionFacts
from workdays.rules.readiness import (
    GroundRules,
    JobToDo,
    PrerequisiteFacts,
    Season,
    months_later,
    rested_on,
    why_not_yet,
    winter_over_on,
)
from workdays.rules.triage import Conclusion, Kind

ZONE = ZoneInfo("America/New_York")
DAY = date(2026, 5, 9)
NINE = datetime(2026, 5, 9, 9, 0, tzinfo=ZONE)
RAKING = KindFacts("raking", "Raking")
CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
MENDING = KindFacts(
    "mending", "Mending", touches=True, wets=True, lifts=True, needs_conservator=True
)
ALL = frozenset({"raking", "cleaning", "resetting", "mending"})
LEAVE = PermissionFacts(ALL, date(2026, 4, 1), date(2026, 10, 31))
GROUND = GroundRules(volunteer_resets=True, clean_again_months=18)
SOUND = Conclusion(Kind.NEEDS)
JOB = JobToDo(CLEANING, on_stone=True, conclusion=SOUND)


def codes(
    job: JobToDo,
    *,
    on: date = DAY,
    leave: PermissionFacts | None = LEAVE,
    ground: GroundRules = GROUND,
    starts_at: datetime | None = NINE,
) -> list[str]:
    permissions = [leave] if leave else []
    refusals = why_not_yet(job, on=on, permissions=permissions, ground=ground, starts_at=starts_at)
    return [refusal.code for refusal in refusals]


def test_a_job_with_nothing_against_it_is_ready() -> None:
    assert codes(JOB) == []


@pytest.mark.parametrize(
    ("leave", "on"),
    [
        (None, DAY),
        (replace(LEAVE, kinds=frozenset({"raking"})), DAY),
        (LEAVE, date(2026, 3, 31)),
        (LEAVE, date(2026, 11, 1)),
    ],
)
def test_no_work_without_a_permission_for_the_day_and_the_kind(
    leave: PermissionFacts | None, on: date
) -> None:
    assert codes(JOB, leave=leave, on=on, starts_at=None) == ["permission"]


def test_a_permission_covers_its_first_and_its_last_day() -> None:
    assert codes(JOB, on=LEAVE.starts_on) == codes(JOB, on=LEAVE.ends_on) == []


def test_triage_bars_work_on_a_stone_and_not_in_a_section() -> None:
    assert codes(replace(JOB, conclusion=None)) == ["not-seen"]
    assert codes(replace(JOB, conclusion=Conclusion(Kind.LEAVE_ALONE))) == ["leave-alone"]
    assert codes(JobToDo(RAKING)) == []


def test_mending_needs_a_conservator_to_lead_it() -> None:
    job = JobToDo(MENDING, on_stone=True, conclusion=Conclusion(Kind.CONSERVATOR))
    assert codes(job) == ["no-conservator"]
    assert codes(replace(job, led_by_conservator=True)) == []


def test_resets_by_volunteers_are_a_setting_of_the_cemetery() -> None:
    barred = replace(GROUND, volunteer_resets=False)
    job = replace(JOB, kind=RESETTING)
    assert codes(job, ground=barred) == ["volunteer-resets"]
    assert codes(job) == []
    mended = replace(job, kind=MENDING, led_by_conservator=True)
    assert codes(mended, ground=barred) == []


def after(*prerequisites: PrerequisiteFacts, **changes: Any) -> JobToDo:
    return replace(JOB, prerequisites=prerequisites, **changes)


def test_prerequisites_come_first() -> None:
    assert codes(after(PrerequisiteFacts("Resetting, A-14"))) == ["prerequisite"]
    assert codes(after(PrerequisiteFacts("Resetting, A-14", done_at=NINE))) == []
    assert codes(after(PrerequisiteFacts("Resetting, A-14", same_day=True))) == []
    dropped = PrerequisiteFacts("Resetting, A-14", same_day=True, dropped=True)
    assert codes(after(dropped)) == ["prerequisite"]


def test_what_must_rest_is_not_followed_on_the_same_day() -> None:
    today = PrerequisiteFacts("Bonding, A-14", same_day=True)
    assert codes(after(today, wait_hours=24)) == ["waiting"]


def test_waiting_is_over_at_its_hour() -> None:
    bonded = PrerequisiteFacts("Bonding, A-14", done_at=NINE - timedelta(hours=24))
    assert codes(after(bonded, wait_hours=24)) == []
    assert codes(after(bonded, wait_hours=25)) == ["waiting"]
    assert codes(after(bonded, wait_hours=24), starts_at=None) == ["waiting"]
    assert codes(after(bonded, wait_hours=24), on=date(2026, 5, 10), starts_at=None) == []


def test_waiting_counts_hours_over_a_clock_change_and_says_until_when() -> None:
    evening = datetime(2026, 3, 7, 20, 0, tzinfo=ZONE)
    job = after(PrerequisiteFacts("Bonding", done_at=evening), wait_hours=24)
    leave = replace(LEAVE, starts_on=date(2026, 1, 1))
    refusals = why_not_yet(
        job,
        on=date(2026, 3, 8),
        permissions=[leave],
        ground=GROUND,
        starts_at=datetime(2026, 3, 8, 20, 30, tzinfo=ZONE),
    )
    assert [refusal.sentence for refusal in refusals] == [
        "What was done before must rest until Sunday 8 March, 21:00."
    ]


def test_not_before_its_earliest_date() -> None:
    assert codes(replace(JOB, earliest_on=DAY)) == []
    assert codes(replace(JOB, earliest_on=DAY + timedelta(days=1))) == ["too-early"]


@pytest.mark.parametrize(
    ("season", "ready"),
    [
        (Season((4, 1), (10, 31)), True),
        (Season((5, 9), (5, 9)), True),
        (Season((5, 10), (10, 31)), False),
        (Season((10, 1), (5, 9)), True),
        (Season((10, 1), (5, 8)), False),
        (Season((5, 9), (1, 31)), True),
    ],
)
def test_a_season_may_run_over_the_new_year(season: Season, ready: bool) -> None:
    assert codes(replace(JOB, season=season)) == ([] if ready else ["season"])


def test_outside_its_season_the_season_is_named() -> None:
    job = replace(JOB, season=Season((6, 1), (2, 29)))
    refusals = why_not_yet(job, on=DAY, permissions=[LEAVE], ground=GROUND)
    assert [refusal.sentence for refusal in refusals] == [
        "Saturday 9 May is outside the season of this job, 1 June to 29 February."
    ]


@pytest.mark.parametrize(
    ("done_on", "over_on"),
    [
        (date(2026, 5, 9), date(2027, 4, 1)),
        (date(2026, 11, 30), date(2027, 4, 1)),
        (date(2026, 12, 1), date(2028, 4, 1)),
        (date(2027, 3, 31), date(2028, 4, 1)),
        (date(2028, 2, 29), date(2029, 4, 1)),
    ],
)
def test_a_whole_winter_is_over_on_the_first_of_april(done_on: date, over_on: date) -> None:
    assert winter_over_on(done_on) == over_on


def test_after_the_first_winter_it_can_be_looked_at() -> None:
    reset = PrerequisiteFacts("Resetting, A-14", done_at=datetime(2025, 9, 6, 15, 0, tzinfo=ZONE))
    job = after(reset, after_winter=True)
    leave = replace(LEAVE, starts_on=date(2026, 1, 1))
    refusals = why_not_yet(job, on=date(2026, 3, 31), permissions=[leave], ground=GROUND)
    assert [refusal.sentence for refusal in refusals] == [
        "Only after the first winter since Resetting, A-14: from 1 April 2026."
    ]
    assert codes(job, on=date(2026, 4, 1), starts_at=None) == []
    today = PrerequisiteFacts("Resetting, A-14", same_day=True)
    assert codes(after(today, after_winter=True)) == ["winter"]


@pytest.mark.parametrize(
    ("done", "wait_hours", "free"),
    [
        ("2026-03-07T20:00-05:00", 24, "2026-03-08T21:00-04:00"),
        ("2026-03-08T21:30-04:00", 72, "2026-03-11T21:30-04:00"),
        ("2026-03-06T12:00-05:00", 72, "2026-03-09T13:00-04:00"),
        ("2026-10-31T20:00-04:00", 24, "2026-11-01T19:00-05:00"),
        ("2026-10-31T10:00-04:00", 72, "2026-11-03T09:00-05:00"),
        ("2026-11-01T00:30-04:00", 1, "2026-11-01T01:30-04:00"),
        ("2026-11-01T01:30-04:00", 1, "2026-11-01T01:30-05:00"),
        ("2028-02-28T20:00-05:00", 24, "2028-02-29T20:00-05:00"),
        ("2028-02-29T20:30-05:00", 72, "2028-03-03T20:30-05:00"),
        ("2028-02-29T20:30-05:00", 672, "2028-03-28T21:30-04:00"),
        ("2027-02-28T20:00-05:00", 24, "2027-03-01T20:00-05:00"),
    ],
)
def test_a_chain_of_waits_over_both_clock_changes_and_the_leap_day(
    done: str, wait_hours: int, free: str
) -> None:
    """Hours are real hours; the dates were worked by hand.

    New York goes forward on 8 March 2026 and 12 March 2028, back on 1 November 2026.

    Forward, 7 to 11 March 2026. Bonded Saturday 20:00 EST. Four hours to midnight, then Sunday
    has only 23: 20 more hours end at 21:00 EDT, not 20:00. Pointed that evening at 21:30 EDT;
    72 hours within summer time end on Wednesday at 21:30. From Friday noon 72 hours end on Monday
    at 13:00, one hour later on the clock.

    Back, 31 October to 3 November 2026. Bonded Saturday 20:00 EDT; Sunday has 25 hours, so that
    24 hours end at 19:00 EST. From Saturday 10:00, 72 hours end on Tuesday at 9:00. From 0:30 EDT
    one hour ends at the first 1:30, from there one hour ends at the second 1:30.

    Leap day. From Monday 28 February 2028 20:00, 24 hours end on Tuesday 29 February 20:00; from
    29 February 20:30, 72 hours are 1, 2, 3 March: Friday 20:30; 28 days are 28 March, at 21:30
    because the clock went forward on the way. In 2027 the day after 28 February is 1 March.
    """
    done_at = datetime.fromisoformat(done).astimezone(ZONE)
    found = rested_on(done_at, wait_hours)
    assert found.isoformat(timespec="minutes") == datetime.fromisoformat(free).isoformat(
        timespec="minutes"
    )
    assert found.utcoffset() == datetime.fromisoformat(free).utcoffset()


def test_in_the_hour_that_comes_twice_the_second_is_later() -> None:
    """Free at the second 1:30 of 1 November 2026: 1:40 on the clock before that is too early."""
    done = datetime(2026, 11, 1, 0, 30, tzinfo=ZONE)
    job = after(PrerequisiteFacts("Bonding", done_at=done), wait_hours=2)
    leave = replace(LEAVE, ends_on=date(2026, 12, 31))
    first = datetime(2026, 11, 1, 1, 40, fold=0, tzinfo=ZONE)
    assert codes(job, on=first.date(), leave=leave, starts_at=first) == ["waiting"]
    second = first.replace(fold=1)
    assert codes(job, on=first.date(), leave=leave, starts_at=second) == []


def test_a_stone_is_not_cleaned_again_before_the_interval_is_over() -> None:
    lately = replace(JOB, cleaned_on=date(2024, 11, 10))
    assert codes(lately) == ["cleaned-lately"]
    assert codes(replace(JOB, cleaned_on=date(2024, 11, 9))) == []
    assert codes(replace(lately, kind=RESETTING)) == []
    assert codes(replace(lately, kind=MENDING, led_by_conservator=True)) == []
    refusals = why_not_yet(lately, on=DAY, permissions=[LEAVE], ground=GROUND)
    assert refusals[0].sentence.endswith("not before 10 May 2026.")


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (date(2026, 8, 31), 18, date(2028, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2026, 12, 31), 1, date(2027, 1, 31)),
        (date(2026, 11, 30), 1, date(2026, 12, 30)),
        (date(2026, 5, 9), 0, date(2026, 5, 9)),
    ],
)
def test_months_later(day: date, months: int, later: date) -> None:
    assert months_later(day, months) == later


def test_every_reason_is_given_at_once() -> None:
    job = replace(
        after(PrerequisiteFacts("Survey, A-14")),
        conclusion=None,
        earliest_on=date(2027, 1, 1),
    )
    assert codes(job, leave=None) == ["permission", "not-seen", "prerequisite", "too-early"]


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(0, 240))
def test_months_later_never_leaves_the_month(day: date, months: int) -> None:
    later = months_later(day, months)
    assert (later.year - day.year) * 12 + later.month - day.month == months
    assert later.day <= day.day
