from __future__ import annotations

from datetime import date

import pytest

from workdays.rules.leave import PermissionFacts
from workdays.rules.leave_ahead import After, after, ago, ahead, headline, runs_out_soon

TODAY = date(2026, 5, 6)
END = date(2026, 6, 30)


def leave(starts_on: date, ends_on: date, kind: str = "cleaning") -> PermissionFacts:
    return PermissionFacts(frozenset({kind}), starts_on, ends_on)


FIRST = leave(date(2026, 1, 1), END)


@pytest.mark.parametrize(
    ("ends_on", "soon"),
    [
        (date(2026, 5, 5), False),
        (TODAY, True),
        (date(2026, 7, 5), True),
        (date(2026, 7, 6), False),
    ],
)
def test_sixty_days_ahead_are_soon_and_the_last_one_counts(ends_on: date, *, soon: bool) -> None:
    assert runs_out_soon(ends_on, TODAY) is soon


def test_nothing_follows_a_permission_that_stands_alone() -> None:
    other = leave(date(2026, 7, 1), date(2026, 12, 31), "resetting")
    earlier = leave(date(2025, 1, 1), date(2025, 12, 31))
    assert after("cleaning", END, [FIRST, other, earlier]) == After()


def test_leave_goes_on_through_every_permission_that_joins_it() -> None:
    joined = [
        FIRST,
        leave(date(2026, 10, 1), date(2026, 12, 31)),
        leave(date(2026, 7, 1), date(2026, 9, 30)),
        leave(date(2027, 6, 1), date(2027, 9, 30)),
    ]
    assert after("cleaning", END, joined) == After(until=date(2026, 12, 31))
    wider = leave(date(2026, 1, 1), date(2026, 8, 31))
    assert after("cleaning", END, [wider, FIRST]) == After(until=date(2026, 8, 31))


def test_a_gap_says_when_leave_begins_again() -> None:
    later = leave(date(2026, 7, 2), date(2026, 9, 30))
    last = leave(date(2026, 8, 1), date(2026, 9, 30))
    assert after("cleaning", END, [FIRST, last, later]) == After(begins_on=date(2026, 7, 2))


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ((0, 0, 0), "No permission runs out in the next 60 days, no family is waited for"),
        ((1, 0, 0), "1 permission runs out in the next 60 days"),
        (
            (2, 1, 1),
            "2 permissions run out in the next 60 days, 1 family has not answered, "
            "1 family has not been asked yet",
        ),
        ((0, 2, 0), "2 families have not answered"),
    ],
)
def test_the_headline_says_what_waits(counts: tuple[int, int, int], words: str) -> None:
    ending, unanswered, not_asked = counts
    assert headline(ending=ending, unanswered=unanswered, not_asked=not_asked) == words


def test_days_near_today_have_words() -> None:
    near = [date(2026, 5, day) for day in (4, 5, 6, 7, 8)]
    assert [ago(on, TODAY) for on in near[:3]] == ["2 days ago", "yesterday", "today"]
    assert [ahead(on, TODAY) for on in near[2:]] == ["today", "tomorrow", "in 2 days"]
