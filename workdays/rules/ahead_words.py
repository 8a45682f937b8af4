"""What a look ahead says, in words that can stand in a letter to whoever gives the money."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from workdays.rules.ahead import LOST, NOBODY, WAITS, Forecast, Range
from workdays.rules.ahead_help import activity
from workdays.rules.counting import joined, some
from workdays.rules.facts import KindFacts

MOST_BARS, MOST_REASONS = 12, 6
NO_BREAK = "\u00a0"
OFTEN = 0.05  # what holds up fewer days than this is not worth a sentence


def range_words(found: Range, most: int) -> str:
    """Return "6 to 9 days", "7 days", "31 to more than 60 days" or "more than 60 days"."""
    if found.low is None:
        return f"more than {most} days"
    if found.high is None:
        return f"{found.low} to more than {most} days"
    if found.low == found.high:
        return some(found.low, "day")
    return f"{found.low} to {found.high} days"


def part_words(jobs: int, of: int) -> str:
    """Return "84 of 404 jobs", or "84 jobs" where there are no others."""
    return some(jobs, "job") if jobs == of else f"{jobs} of {some(of, 'job')}"


def unled_words(kind: KindFacts, jobs: int, *, unled: bool) -> str:
    """Return which work is not counted, and who is missing for it; else it waits for such work."""
    what = f"{some(jobs, 'job')} of {activity(kind)}"
    if not unled:
        return f"{what}: to be done after such work"
    if kind.needs_conservator:
        return f"{what}: no conservator comes"
    if kind.needs_supervisor:
        return f"{what}: no supervisor of it comes"
    return f"{what}: nobody comes who may lead it"


def without_words(kinds: Iterable[KindFacts], forecast: Forecast) -> str:
    """Return "Without mending, 32 jobs take 5 to 8 days."."""
    names = joined([activity(kind) for kind in kinds])
    days = range_words(forecast.range, len(forecast.dates))
    takes = "takes" if forecast.of_jobs == 1 else "take"
    return f"Without {names}, {some(forecast.of_jobs, 'job')} {takes} {days}."


def answer(forecast: Forecast) -> str:
    """Return the range as a sentence: "Between 6 and 9 days in 8 tries of 10, likeliest 7."."""
    found, most, likeliest = forecast.range, len(forecast.dates), forecast.likeliest
    if forecast.never == forecast.tries:
        return f"In no try were {most} days enough."
    if found.low is None:
        return f"In 9 tries of 10 and more, {most} days are not enough."
    if found.high is None:
        return f"{found.low} days or more in 9 tries of 10; {not_within(forecast)}"
    usual = f", likeliest {likeliest}" if likeliest and found.low != found.high else ""
    if found.low == found.high:
        return f"{some(found.low, 'day')} in at least 8 tries of 10."
    return f"Between {found.low} and {found.high} days in 8 tries of 10{usual}."


def not_within(forecast: Forecast) -> str:
    """Return "in 31 tries of 100, 60 days are not enough."; empty where they always were."""
    if not forecast.never:
        return ""
    tries = of_hundred(forecast.never, forecast.tries)
    return f"in {tries}, {len(forecast.dates)} days are not enough."


def of_hundred(count: int, tries: int) -> str:
    """Return "31 tries of 100"; a few are never said to be none, nor most to be all."""
    share = round(100 * count / tries)
    if 0 < count < tries:
        share = min(99, max(1, share))
    return f"{share} {'try' if share == 1 else 'tries'} of 100"


def done_words(forecast: Forecast) -> str:
    """Return how much is done where the days may not suffice; empty where they always do."""
    if not forecast.never:
        return ""
    return f"On average {forecast.mean_jobs:.0f} of {some(forecast.of_jobs, 'job')} are done."


def dates_words(forecast: Forecast) -> str:
    """Return on which dates the last day would be."""
    found, dates = forecast.range, forecast.dates
    if found.low is None:
        return f"The last of these days would be {_date(dates[-1])}."
    first = _date(dates[found.low - 1])
    if found.high is None:
        return f"The last of them would be on {first} or later."
    last = _date(dates[found.high - 1])
    if first == last:
        return f"The last of them would be on {first}."
    return f"The last of them would be between {first} and {last}."


def promise_words(forecast: Forecast, by: date) -> str:
    """Return how sure a date is."""
    kept = forecast.by(by)
    if kept == forecast.tries:
        return f"It was done by {_date(by)} in every try."
    if not kept:
        return f"It was not done by {_date(by)} in any try."
    return f"It was done by {_date(by)} in {of_hundred(kept, forecast.tries)}."


def _date(on: date) -> str:
    return f"{on.day} {on:%B %Y}"


@dataclass(frozen=True, slots=True)
class Bar:
    """How many tries took so many days."""

    name: str
    tries: int
    words: str


def bars(forecast: Forecast) -> list[Bar]:
    """Return the spread, at most a dozen rows of equally many days, and a row of what is over."""
    known = sorted(days for days in forecast.days if days is not None)
    found = []
    if known:
        width = -(-(known[-1] - known[0] + 1) // MOST_BARS)
        for first in range(known[0], known[-1] + 1, width):
            count = sum(first <= days < first + width for days in known)
            last = first + width - 1
            name = some(first, "day") if width == 1 else f"{first} to {last} days"
            found.append(_bar(name, count, forecast.tries))
    if forecast.never:
        found.append(_bar(f"over {len(forecast.dates)}", forecast.never, forecast.tries))
    return found


def _bar(name: str, count: int, tries: int) -> Bar:
    unbroken = name.replace(" ", NO_BREAK)
    return Bar(unbroken, count, f"{count} of {tries}" if count else "none")


def holds_up(
    forecast: Forecast, kinds: Mapping[str, KindFacts], kit_names: Mapping[str, str]
) -> list[str]:
    """Return what holds the work up, that first which does so on most days; at most six."""
    found, without_leave = [], []
    for what, count in forecast.held_up.most_common():
        share = count / max(1, forecast.all_days)
        if share < OFTEN:
            continue
        if what[-1] == "leave":
            without_leave.append((share, activity(kinds[what[0]])))
        else:
            found.append((share, _held_up(what, kinds, kit_names)))
    if without_leave:
        lacking = joined([name for _, name in without_leave])
        found.append((without_leave[0][0], f"the owner's leave does not cover {lacking}"))
    found.sort(key=lambda one: -one[0])
    return [f"On {_of_ten(share)}, {said}." for share, said in found[:MOST_REASONS]]


def _of_ten(share: float) -> str:
    tenths = round(10 * share)
    if tenths == 10:
        return "nearly every day"
    return f"{some(tenths, 'day')} of 10" if tenths else "1 day of 20"


def _held_up(
    what: str | tuple[str, str], kinds: Mapping[str, KindFacts], kit_names: Mapping[str, str]
) -> str:
    if isinstance(what, str):
        return {
            LOST: "the day is called off",
            NOBODY: "fewer people come than a crew has",
            WAITS: "nothing is ready: jobs wait for what must rest, for a date or for a season",
        }[what]
    kind, why = what
    work = activity(kinds[kind])
    if why.startswith("kit "):
        item = why.removeprefix("kit ")
        return f"{work} lacks equipment: {kit_names.get(item, item)}"
    return {
        "conservator": f"no conservator comes to lead {work}",
        "supervisor": f"no supervisor of {work} comes",
        "leader": f"nobody is left who may lead {work}",
        "lifters": f"too few people are left who can lift, for {work}",
        "helpers": f"too few people are left for {work}",
    }[why]
