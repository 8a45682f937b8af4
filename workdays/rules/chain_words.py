"""A chain of jobs in words: what a step waits for, how much it is, what a page says first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from workdays.rules.chain_step import Times
from workdays.rules.counting import joined, measured, some
from workdays.rules.readiness import Season
from workdays.rules.triage import Conclusion, Kind

HOURS_A_DAY, MINUTES_AN_HOUR = 24, 60
NO_CHAIN = "no chain in use says how to do what it needs"


@dataclass(frozen=True, slots=True)
class Counts:
    """How many jobs of a stone's chain would be added, are to do, and are done."""

    new: int = 0
    to_do: int = 0
    done: int = 0


def rest_words(hours: int) -> str:
    """Return how long something rests: 1 hour, 24 hours, 3 days, 28 days and 4 hours."""
    days, rest = divmod(hours, HOURS_A_DAY)
    if days < 2:
        return some(hours, "hour")
    return joined([some(days, "day"), *([some(rest, "hour")] if rest else [])])


def season_words(first: int | None, last: int | None) -> str:
    """Return a season from its ends, month times 100 plus day; empty: the whole year."""
    if first is None or last is None:
        return ""
    return Season(divmod(first, 100), divmod(last, 100)).words


def waits_words(times: Times, before: Sequence[str]) -> str:
    """Return what something waits for, in the order of time; empty: for nothing.

    "After: bond it and clamp it; then 24 hours; 1 May to 30 September".
    """
    season = season_words(times.season_first, times.season_last)
    parts = [
        f"after: {', '.join(before)}" if before else "",
        f"then {rest_words(times.wait_hours)} of rest" if times.wait_hours else "",
        "then a whole winter" if times.after_winter else "",
        f"only {season}" if season else "",
    ]
    words = "; ".join(part for part in parts if part)
    return words[:1].upper() + words[1:]


def people_words(fewest: int, most: int, lifters: int) -> str:
    """Return who it takes: "2 to 4 people, 1 of them able to lift"."""
    people = f"{most} people" if fewest == most else f"{fewest} to {most} people"
    return f"{people}, {lifters} of them able to lift" if lifters else people


def litres_words(litres: float) -> str:
    """Return litres as people say them: 1 litre, 2.5 litres."""
    return measured(litres, "litre")


def stone_heading(number: str, conclusion: Conclusion | None, counts: Counts) -> str:
    """Return what holds for the chain of a stone, as the heading of its page."""
    return f"Stone {number}: {_what_holds(conclusion, counts)}"


def _what_holds(conclusion: Conclusion | None, counts: Counts) -> str:
    alone = conclusion is not None and conclusion.kind is Kind.LEAVE_ALONE
    if alone and counts.new:
        return f"leave it alone; {some(counts.new, 'job')} would only record it"
    if counts.new:
        jobs = some(counts.new, "more job" if counts.to_do else "job")
        return f"{jobs} would do what it needs"
    if counts.to_do:
        return "every job it needs is there"
    if counts.done:
        return "every job it needs is done"
    if alone:
        return "leave it alone, so nothing is added"
    return "sound, so nothing is added" if _sound(conclusion) else NO_CHAIN


def _sound(conclusion: Conclusion | None) -> bool:
    return conclusion is not None and conclusion.kind is Kind.NEEDS and not conclusion.needs


def why_nothing(conclusion: Conclusion | None, counts: Counts) -> str:
    """Return why there is nothing to add; empty: there is."""
    if counts.new:
        return ""
    if counts.to_do or counts.done:
        return "Nothing is to be added. A new look at the stone may ask for more."
    if conclusion is not None and conclusion.kind is Kind.LEAVE_ALONE:
        return "Work could only harm this stone. Looking at it and recording it stay allowed."
    if _sound(conclusion):
        return "The last look found nothing to do, and work that nobody needs can only harm."
    return "Take a chain for this need into use, or add a job by hand."


def added_words(jobs: int, stones: int) -> str:
    """Return what a press added, in a sentence."""
    if not jobs:
        return "Nothing was added: every job that is asked for is there."
    was = "was" if jobs == 1 else "were"
    return f"{some(jobs, 'job')} {was} added, for {some(stones, 'stone')}."


def asks_heading(place: str, stones: int, jobs: int) -> str:
    """Return how many stones of a cemetery ask for how many jobs, as a heading."""
    if not jobs:
        return f"{place}: every job that its stones need is there"
    asks = "asks" if stones == 1 else "ask"
    return f"{place}: {some(stones, 'stone')} {asks} for {some(jobs, 'more job')}"


def time_words(person_minutes: int) -> str:
    """Return person-minutes as people say them: 45 minutes, 2 hours, 1.5 hours."""
    if person_minutes < MINUTES_AN_HOUR:
        return some(person_minutes, "person-minute")
    hours = round(person_minutes / MINUTES_AN_HOUR, 1)
    return measured(hours, "person-hour")
