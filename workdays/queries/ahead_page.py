"""The page that looks ahead: how many days clear some work, what holds it up, what would help."""

from calendar import month_name
from collections import Counter
from dataclasses import dataclass, field

from workdays.drawing import season
from workdays.models import KindOfWork
from workdays.queries.ahead import (
    AheadGround,
    Question,
    chosen_work,
    facts_of,
    why_no_answer,
)
from workdays.queries.ahead_work import Chosen, why_left_out
from workdays.rules import ahead_words as words
from workdays.rules.ahead import Forecast, look_ahead
from workdays.rules.ahead_chance import expected_share, usual_share
from workdays.rules.ahead_facts import AheadFacts
from workdays.rules.ahead_help import activity, changes, mix_for, what_helps
from workdays.rules.ahead_led import led_only, unled_kinds, without_kinds
from workdays.rules.ahead_rests import by_level, rests_on
from workdays.rules.ahead_tables import may_lead
from workdays.rules.backlog_words import REASON_WORDS
from workdays.rules.chain_words import time_words
from workdays.rules.counting import joined, measured, some
from workdays.rules.refusals import Refusal

SEED = 1
PILOT, FEWEST_TRIES, FEW_TRIES, MOST_TRIES = 20, 10, 50, 200
# Jobs and days in all tries together; more would keep whoever asks waiting for seconds.
MOST_JOBS_TRIED, MOST_DAYS_TRIED = 20_000, 3_000
LEAST_TRIES = 3  # of each change; FEWEST_TRIES are made, but not where that is far too much


@dataclass(frozen=True)
class WorkRow:
    """What there is of one kind of work, and who comes to it on a usual day, by level."""

    kind: KindOfWork
    jobs: int
    time: str
    leaders: str
    levels: str


@dataclass(frozen=True)
class Unled:
    """Work of one kind that is not counted, as nobody who comes may do it."""

    kind: KindOfWork
    words: str


@dataclass(frozen=True)
class LeftOut:
    """Jobs that are not counted: how many, why; ``reason``: the list that shows them, if any."""

    jobs: int
    words: str
    reason: str


@dataclass(frozen=True)
class Saves:
    """What a change would make of the answer."""

    words: str
    days: str
    promise: str


@dataclass(frozen=True)
class AheadPage:
    """Everything that the page shows; without an answer, why there is none.

    ``too_much``: there is so much work that no change was tried.
    """

    heading: str
    refusals: list[Refusal] = field(default_factory=list)
    unled: list[Unled] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)
    picture: season.Picture | None = None
    holds_up: list[str] = field(default_factory=list)
    helps: list[Saves] = field(default_factory=list)
    mix: str = ""
    too_much: bool = False
    work: list[WorkRow] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    rests_on: list[tuple[str, str]] = field(default_factory=list)


def ahead_page(ground: AheadGround, asked: Question) -> AheadPage:
    """Return the answer to a question, or why there is none; asks no statement."""
    chosen = chosen_work(ground, asked)
    whole = facts_of(ground, asked, chosen)
    refusals, left_out = why_no_answer(chosen, whole), _left_out(chosen)
    if refusals:
        heading = f"{_where(ground, asked)}: no forecast yet"
        work = _work_rows(ground, whole)
        return AheadPage(heading, refusals, work=work, left_out=left_out)
    facts = _counted(asked, whole)
    tried = changes(facts, ground.kit_names)
    tries, few = tries_for(facts, changes=len(tried))
    forecast = look_ahead(facts, tries=tries, seed=SEED)
    helped = what_helps(facts, tried, tries=few, seed=SEED) if few else []
    by = asked.by or facts.dates[-1]
    mix = mix_for(facts, tried, by=by, tries=few, seed=SEED) if few else None
    return AheadPage(
        heading=_heading(ground, asked, forecast, in_all=len(whole.undone)),
        unled=_unled(ground, whole, facts),
        sentences=[*_sentences(forecast, asked), *_without_unfinished(facts, forecast)],
        picture=_picture(forecast),
        holds_up=words.holds_up(forecast, ground.kind, ground.kit_names),
        helps=[_saves(one.words, one.forecast, asked) for one in helped],
        mix=_mix(mix.words, mix.forecast, asked) if mix else "",
        too_much=not few,
        work=_work_rows(ground, facts),
        left_out=left_out,
        rests_on=rests_on(
            facts, forecast, _days(asked, facts), held=ground.turnout.held, by_hand=bool(asked.hand)
        ),
    )


def tries_for(facts: AheadFacts, *, changes: int) -> tuple[int, int]:
    """Return how many tries are made, and how many of each change: fewer where each is long.

    None of changes where even a few would take long: thousands of jobs.
    """
    pilot = look_ahead(facts, tries=PILOT, seed=SEED)
    days, jobs = pilot.all_days / PILOT, max(1.0, pilot.mean_jobs)
    most = min(MOST_JOBS_TRIED / jobs, MOST_DAYS_TRIED / days)
    tries = max(PILOT, min(MOST_TRIES, int(most)))
    each = min(2 * MOST_JOBS_TRIED / jobs, 2 * MOST_DAYS_TRIED / days) / (changes + 1)
    if each < LEAST_TRIES:
        return tries, 0
    return tries, max(FEWEST_TRIES, min(FEW_TRIES, tries, int(each)))


def _where(ground: AheadGround, asked: Question) -> str:
    section = dict(ground.sections).get(asked.section)
    return f"{ground.place.name}, {section}" if section else ground.place.name


def _heading(ground: AheadGround, asked: Question, forecast: Forecast, *, in_all: int) -> str:
    """Return the answer in a sentence; ``in_all``: the jobs with those that nobody may lead."""
    days = words.range_words(forecast.range, len(forecast.dates))
    what = words.part_words(forecast.of_jobs, in_all)
    if asked.stones:
        what = some(asked.stones, "stone")
    of = f" of {activity(ground.kind[asked.kind])}" if asked.kind and not asked.stones else ""
    return f"{_where(ground, asked)}: {days} for {what}{of}"


def _sentences(forecast: Forecast, asked: Question) -> list[str]:
    found = [words.answer(forecast), words.dates_words(forecast)]
    if forecast.range.high is None and not asked.stones:
        found.insert(1, words.done_words(forecast))
    if asked.by:
        found.append(words.promise_words(forecast, asked.by))
    return found


def _without_unfinished(facts: AheadFacts, forecast: Forecast) -> list[str]:
    """Return how long the rest takes, where a few kinds of work keep all from ever being done."""
    usually = {kind for kind, tries in forecast.unfinished.items() if 2 * tries > forecast.tries}
    rest = without_kinds(facts, usually) if forecast.range.low is None else facts
    if rest is facts or rest.undone == facts.undone:
        return []
    kinds = [kind for kind in facts.kinds if kind.id in usually]
    found = look_ahead(rest, tries=forecast.tries, seed=SEED)
    return [words.without_words(kinds, found)] if found.range.low else []


def _days(asked: Question, facts: AheadFacts) -> str:
    """Return the days that were asked for: how long, how many a month, in which months."""
    first, last = (month_name[month] for month in asked.months)
    begins = facts.dates[0]
    return (
        f"{measured(asked.hours, 'hour')} of work in {some(len(facts.blocks), 'part')}, "
        f"{some(asked.a_month, 'day')} a month from {first} to {last}, "
        f"the first on {begins.day} {begins:%B %Y}."
    )


def _picture(forecast: Forecast) -> season.Picture:
    bars = (season.BarFacts(bar.name, bar.tries, bar.words) for bar in words.bars(forecast))
    return season.draw(tuple(bars), title=f"How many days it took in {forecast.tries} tries")


def _saves(said: tuple[str, ...], forecast: Forecast, asked: Question) -> Saves:
    promise = words.promise_words(forecast, asked.by) if asked.by else ""
    days = words.range_words(forecast.range, len(forecast.dates))
    if forecast.range.low is None:
        done = words.done_words(forecast)
        days = f"{days}; {done[:1].lower()}{done[1:-1]}"
    return Saves(joined(list(said)), days, promise)


def _mix(said: tuple[str, ...], forecast: Forecast, asked: Question) -> str:
    saves = _saves(said, forecast, asked)
    return f"{saves.words}: {saves.days}. {saves.promise}"


def _counted(asked: Question, whole: AheadFacts) -> AheadFacts:
    """Leave out what nobody who comes may lead, unless just that is asked for."""
    asked_for = asked.unled or asked.kind in {kind.id for kind in unled_kinds(whole)}
    return whole if asked_for else led_only(whole)


def _unled(ground: AheadGround, whole: AheadFacts, facts: AheadFacts) -> list[Unled]:
    """Return the work that is not counted: first what nobody may lead, then what waits for it."""
    jobs = Counter(one.job.kind for one in whole.undone)
    jobs.subtract(one.job.kind for one in facts.undone)
    without = {kind.id for kind in unled_kinds(whole)}
    found = [
        Unled(kind, words.unled_words(one, jobs[one.id], unled=one.id in without))
        for kind, one in zip(ground.work_kinds, ground.led, strict=True)
        if jobs[one.id]
    ]
    return sorted(found, key=lambda one: one.kind.key not in without)


def _work_rows(ground: AheadGround, facts: AheadFacts) -> list[WorkRow]:
    jobs, minutes = Counter[str](), Counter[str]()
    for one in facts.undone:
        jobs[one.job.kind] += 1
        minutes[one.job.kind] += one.job.minutes
    return [
        WorkRow(
            kind,
            jobs[kind.key],
            time_words(minutes[kind.key]),
            _leaders(facts, kind.key),
            by_level(facts, ground.kind[kind.key].skill),
        )
        for kind in ground.work_kinds
        if jobs[kind.key]
    ]


def _leaders(facts: AheadFacts, key: str) -> str:
    """Return how many who may lead some work come on a usual day: "1.4", "none"."""
    kind = next(kind for kind in facts.kinds if kind.id == key)
    mean = usual_share([one for one in facts.people if not one.always])
    count = sum(expected_share(one, mean) for one in facts.people if may_lead(one.person, kind))
    return f"{count:.1f}" if count else "none"


def _left_out(chosen: Chosen) -> list[LeftOut]:
    return [
        LeftOut(count, why_left_out(code), code if code in REASON_WORDS else "")
        for code, count in chosen.left_out.most_common()
    ]
