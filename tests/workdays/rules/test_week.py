"""Each thing that needs a person: when it is said, when it is not, and in which words."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from workdays.rules import week
from workdays.rules.places import Places
from workdays.rules.week import Heading, Line
from workdays.rules.week_facts import (
    BookingNeed,
    DayNeeds,
    HoursNeed,
    LeaveNeed,
    OtherNeeds,
    PlanState,
)

DETROIT = ZoneInfo("America/Detroit")
NOW = datetime(2026, 5, 6, 10, 0, tzinfo=DETROIT)
TODAY = date(2026, 5, 6)
SATURDAY = date(2026, 5, 9)
SET = DayNeeds(
    day=7,
    place="Alder Hill",
    starts_at=datetime(2026, 5, 9, 9, 0, tzinfo=DETROIT),
    ends_at=datetime(2026, 5, 9, 15, 0, tzinfo=DETROIT),
    state="open",
    places=Places(20, coming=14),
    fewest=4,
    call_by_at=datetime(2026, 5, 8, 18, 0, tzinfo=DETROIT),
    call_made=True,
    organises=True,
    jobs=17,
    plan=PlanState(crews=4, jobs=17, is_published=True, waits=False),
)


def said(now: datetime = NOW, **change: Any) -> list[tuple[date | None, str, str]]:
    lines = week.day_lines(replace(SET, **change), now=now)
    return [(line.on, line.sentence, line.page) for line in lines]


def test_a_day_where_all_is_set_needs_nobody() -> None:
    assert said() == []


@pytest.mark.parametrize(
    ("coming", "minors", "words"),
    [
        (14, 0, "places left"),
        (14, 3, "; three minors, two adults there"),
        (3, 2, "two adults needed"),
    ],
)
def test_the_heading_says_whether_two_adults_are_there(
    coming: int, minors: int, words: str
) -> None:
    day = replace(SET, places=Places(20, coming=coming), minors=minors)
    assert week.heading_of(day).words.endswith(words)


@pytest.mark.parametrize(
    ("change", "on", "sentence", "page"),
    [
        (
            {"places": Places(20, coming=4), "minors": 3},
            SATURDAY,
            "Minors come, but only one adult comes: at least two adults must be there "
            "(common practice).",
            "day_desk",
        ),
        (
            {"call_made": False},
            date(2026, 5, 8),
            "Make the weather call for Saturday by 18:00.",
            "call",
        ),
        ({"state": "draft"}, SATURDAY, "It is not open for sign-up yet.", "day_desk"),
        (
            {"places": Places(20, coming=14, unconfirmed=2)},
            SATURDAY,
            "Two people have not answered the mailed link.",
            "day_desk",
        ),
        (
            {"without_waiver": 1},
            SATURDAY,
            "One person who comes has no valid waiver.",
            "day_desk",
        ),
        (
            {"open_questions": 13},
            SATURDAY,
            "13 people have not said yes to the new date.",
            "day_desk",
        ),
        ({"places": Places(20, coming=3)}, SATURDAY, "4 are the fewest for this day.", "day_desk"),
        ({"jobs": 0}, SATURDAY, "No job is chosen for this day.", "day_jobs"),
        ({"plan": None}, SATURDAY, "There is no crew plan yet.", "plan"),
        (
            {"plan": PlanState(4, 17, is_published=False, waits=True)},
            SATURDAY,
            "The crew plan is ready: 4 crews, 17 jobs.",
            "plan",
        ),
        (
            {"plan": PlanState(1, 1, is_published=True, waits=True)},
            SATURDAY,
            "A newer crew plan is ready: 1 crew, 1 job.",
            "plan",
        ),
        (
            {"unseen": 3, "told": 14},
            SATURDAY,
            "3 of 14 have not said that they saw the notice.",
            "notices",
        ),
    ],
)
def test_each_need_is_one_sentence_with_one_page(
    change: dict[str, Any], on: date, sentence: str, page: str
) -> None:
    assert said(**change) == [(on, sentence, page)]


def test_an_organisers_needs_are_not_said_to_a_supervisor() -> None:
    everything: dict[str, Any] = {
        "call_made": False,
        "without_waiver": 2,
        "plan": None,
        "jobs": 0,
        "unseen": 1,
        "open_questions": 1,
    }
    assert len(said(**everything)) == 5
    assert said(**everything, organises=False) == []


def test_a_call_that_is_late_stands_under_today() -> None:
    late = SET.call_by_at + timedelta(hours=1)
    assert said(late, call_made=False)[0][:2] == (
        date(2026, 5, 8),
        "The weather call for Saturday was due at 18:00.",
    )
    early = datetime(2026, 5, 9, 7, 0, tzinfo=DETROIT)
    assert said(early, call_made=False)[0][:2] == (
        SATURDAY,
        "The weather call for Saturday was due Friday, 18:00.",
    )


def test_the_verdict_stands_beside_the_call() -> None:
    (line,) = week.day_lines(
        replace(SET, call_made=False, verdict="watch", verdict_words="Near the limit."), now=NOW
    )
    assert (line.mark, line.aside) == ("watch", "Near the limit.")
    (line,) = week.day_lines(replace(SET, call_made=False), now=NOW)
    assert (line.mark, line.aside) == ("", "No forecast yet.")


def test_on_the_day_the_roll_is_taken_by_whoever_is_there() -> None:
    morning = datetime(2026, 5, 9, 8, 0, tzinfo=DETROIT)
    for organises in (True, False):
        assert said(morning, organises=organises) == [
            (SATURDAY, "Take the roll from 9:00.", "roll")
        ]


def test_a_day_that_is_over_is_closed_by_whoever_was_there() -> None:
    after = datetime(2026, 5, 11, 8, 0, tzinfo=DETROIT)
    assert said(after, organises=False, call_made=False) == [
        (date(2026, 5, 11), "Saturday 9 May at Alder Hill is over and not closed.", "roll")
    ]


def test_a_day_called_off_asks_only_who_has_not_seen_it() -> None:
    assert said(state="called_off", call_made=False, jobs=0, plan=None) == []
    assert len(said(state="called_off", unseen=2, told=9)) == 1


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (datetime(2026, 5, 6, 21), "tonight"),  # noqa: DTZ001
        (datetime(2026, 5, 6, 17, 45), "today, 17:45"),  # noqa: DTZ001
        (datetime(2026, 5, 7, 9), "tomorrow, 9:00"),  # noqa: DTZ001
        (datetime(2026, 5, 9, 0), "Saturday, 0:00"),  # noqa: DTZ001
    ],
)
def test_a_moment_is_said_from_today(at: datetime, words: str) -> None:
    assert week.relative(at, TODAY) == words


def others(**needs: Any) -> list[tuple[date | None, str]]:
    found = OtherNeeds(**needs)
    lines = [*week.service_lines(found, today=TODAY), *week.other_lines(found, today=TODAY)]
    return [(line.on, line.sentence) for line in lines]


def test_what_belongs_to_no_day_is_said_too() -> None:
    assert others() == []
    assert others(worker_late=True)[0][0] == TODAY
    assert others(failed_mails=1) == [(TODAY, "One mail was not taken by the receiver.")]
    asked = BookingNeed(3, "Hollin Historical Society", date(2026, 6, 13), 20)
    assert others(bookings=(asked,)) == [
        (TODAY, "Hollin Historical Society asks for a clinic on 13 June for about 20 people.")
    ]
    leave = LeaveNeed("north-ridge", "North Ridge", ("Resetting",), date(2026, 5, 31), 11)
    assert others(leaves=(leave,)) == [
        (None, "Permission for resetting at North Ridge ends on 31 May; 11 jobs wait for it.")
    ]
    two = replace(leave, kinds=("Gentle cleaning", "Resetting"))
    assert "for gentle cleaning and resetting at North Ridge" in others(leaves=(two,))[0][1]
    one = replace(leave, jobs=1)
    assert others(leaves=(one,))[0][1].endswith("1 job waits for it.")


@pytest.mark.parametrize(
    ("need", "sentence"),
    [
        (HoursNeed(540, 3, False), "9 hours of three trainees wait for a countersign."),
        (HoursNeed(60, 1, True), "1 hour of one trainee waits for your countersign."),
        (HoursNeed(90, 1, True), "1:30 hours of one trainee wait for your countersign."),
    ],
)
def test_hours_that_wait_are_added_up(need: HoursNeed, sentence: str) -> None:
    assert others(hours=need) == [(None, sentence)]


def line(on: date | None, day: int = 0) -> Line:
    return Line(on, "Do it.", "week", (), "Do it", day)


def test_the_page_is_in_order_of_dates_with_any_day_last() -> None:
    headings = [Heading(7, SATURDAY, "Alder Hill"), Heading(8, SATURDAY, "Mill Lane")]
    lines = [line(None), line(SATURDAY, 8), line(TODAY), line(SATURDAY)]
    found = week.entries(lines, headings, today=TODAY)
    assert [entry.on for entry in found] == [TODAY, SATURDAY, None]
    assert [entry.is_today for entry in found] == [True, False, False]
    parts = [(part.heading, len(part.lines)) for part in found[1].parts]
    assert parts == [(None, 1), (headings[0], 0), (headings[1], 1)]


def test_a_need_of_a_day_beyond_the_week_keeps_its_line() -> None:
    (entry,) = week.entries([line(SATURDAY, 99)], [], today=TODAY)
    assert entry.parts[0].heading is None
    assert len(entry.parts[0].lines) == 1


@pytest.mark.parametrize(
    ("dates", "words"),
    [
        ([], "Nothing needs you this week"),
        ([SATURDAY], "One thing needs you this week"),
        ([TODAY], "One thing needs you today"),
        ([TODAY, TODAY, *[SATURDAY] * 5], "Seven things need you this week, two of them today"),
        ([SATURDAY] * 13, "13 things need you this week"),
    ],
)
def test_the_headline_answers(dates: list[date], words: str) -> None:
    assert week.headline([line(on) for on in dates], today=TODAY) == words


def test_a_day_is_named_by_its_state() -> None:
    assert week.heading_of(SET).words == "Alder Hill, 9:00 to 15:00: 14 coming, 6 places left"
    draft = week.heading_of(replace(SET, state="draft"))
    assert draft.words.endswith(": not open yet")
