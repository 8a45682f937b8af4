"""What a look ahead says."""

from collections import Counter
from datetime import date

import pytest

from tests.workdays.rules.ahead_worlds import weeks
from workdays.rules import ahead_words as words
from workdays.rules.ahead import LOST, Forecast, Range
from workdays.rules.ahead_dates import dates_ahead, stretches
from workdays.rules.facts import KindFacts


def forecast(*days: int | None, **values: object) -> Forecast:
    return Forecast(weeks(60), days, **values)  # type: ignore[arg-type]  # known by name


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (Range(6, 7, 9), "6 to 9 days"),
        (Range(1, 1, 1), "1 day"),
        (Range(31, 40, None), "31 to more than 60 days"),
        (Range(None, None, None), "more than 60 days"),
    ],
)
def test_a_range_is_said_shortly(found: Range, said: str) -> None:
    assert words.range_words(found, 60) == said


def test_the_answer_is_a_sentence() -> None:
    assert (
        words.answer(forecast(6, 7, 7, 7, 8, 8, 8, 9, 9, 9))
        == "Between 6 and 9 days in 8 tries of 10, likeliest 7."
    )
    assert words.answer(forecast(7, 7, 7)) == "7 days in at least 8 tries of 10."
    assert words.answer(forecast(*[None] * 10)) == "In no try were 60 days enough."
    hardly = words.answer(forecast(*[None] * 19, 3))
    assert hardly == "In 9 tries of 10 and more, 60 days are not enough."
    some_never = words.answer(forecast(*[31] * 7, None, None, None))
    assert (
        some_never
        == "31 days or more in 9 tries of 10; in 30 tries of 100, 60 days are not enough."
    )


def test_a_date_is_as_sure_as_the_tries() -> None:
    done = forecast(1, 2, 2, 3)
    assert words.promise_words(done, date(2026, 5, 16)).endswith("16 May 2026 in 75 tries of 100.")
    assert "in every try" in words.promise_words(done, date(2026, 12, 31))
    assert "not done" in words.promise_words(done, date(2026, 5, 1))
    assert words.of_hundred(1, 400) == "1 try of 100"
    assert words.of_hundred(399, 400) == "99 tries of 100"


def test_the_spread_is_a_dozen_bars_at_most() -> None:
    found = words.bars(forecast(*range(5, 45), None))
    assert len(found) <= 13
    assert sum(bar.tries for bar in found) == 41
    assert found[-1].name == "over\u00a060"
    names = [bar.name.replace("\u00a0", " ") for bar in words.bars(forecast(1, 1, 3))]
    assert names == ["1 day", "2 days", "3 days"]
    assert [bar.words for bar in words.bars(forecast(1, 1, 3))] == ["2 of 3", "none", "1 of 3"]


def test_what_holds_up_is_said_worst_first() -> None:
    names = {"reset": "Resetting", "rake": "Raking"}
    kinds = {key: KindFacts(key, key, name) for key, name in names.items()}
    counts = {LOST: 1, ("reset", "supervisor"): 4, ("reset", "kit hoist"): 2}
    leave = {("rake", "leave"): 9, ("reset", "leave"): 8, ("rake", "helpers"): 0}
    held = forecast(10, held_up=Counter(counts | leave), all_days=10)
    found = words.holds_up(held, kinds, {"hoist": "Tripod hoist"})
    assert found == [
        "On 9 days of 10, the owner's leave does not cover raking and resetting.",
        "On 4 days of 10, no supervisor of resetting comes.",
        "On 2 days of 10, resetting lacks equipment: Tripod hoist.",
        "On 1 day of 10, the day is called off.",
    ]


def test_days_lie_evenly_in_the_months_of_work() -> None:
    found = dates_ahead(date(2026, 9, 5), a_month=2, months=(4, 10), count=6)
    assert found[0] == date(2026, 9, 5)
    assert found[4:] == [date(2027, 4, 1), date(2027, 4, 16)]
    assert len(set(dates_ahead(date(2026, 1, 1), a_month=20, months=(1, 12), count=60))) == 60
    assert dates_ahead(date(2026, 1, 9), a_month=1, months=(11, 2), count=2)[1].month == 2
    assert dates_ahead(date(2026, 3, 9), a_month=1, months=(11, 2), count=1) == [date(2026, 11, 1)]


@pytest.mark.parametrize(
    ("hours", "parts"), [(1, (4,)), (3, (12,)), (5, (10, 10)), (5.5, (11, 11)), (10, (10,) * 4)]
)
def test_a_day_has_breaks(hours: float, parts: tuple[int, ...]) -> None:
    assert stretches(hours) == parts
