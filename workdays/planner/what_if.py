"""What would change a plan: a fixed list of changes of the day, and what each brings at least.

Each change is judged by going on from the present plan, once without it and once with it, with
equal rounds and the same seed. What is said is a lower bound: a longer search may bring more.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from workdays.planner.reason_words import skill_words
from workdays.planner.solve import Limit, solve
from workdays.rules.counting import some
from workdays.rules.crew import value, violations
from workdays.rules.facts import (
    NEW,
    SIGNED_OFF,
    SUPERVISOR,
    TAUGHT,
    BlockFacts,
    DayFacts,
    Interval,
    JobFacts,
    PersonFacts,
    Plan,
)

MORE = "one more"  # the id of a person who does not come; no row has it
LEVELS = {
    TAUGHT: "One more person taught in {skill}",
    SIGNED_OFF: "One more person signed off in {skill}",
    SUPERVISOR: "One more supervisor of {skill}",
}
HOUR_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Change:
    """A change of the day in words, and the day with it."""

    words: str
    facts: DayFacts


@dataclass(frozen=True, slots=True)
class Gain:
    """What a change brings at least: finished stones, finished jobs, points."""

    words: str
    stones: int
    jobs: int
    points: int

    @property
    def sentence(self) -> str:
        """Such as "One more hand sprayer: at least 2 more stones, 31 points"."""
        points = some(self.points, "point")
        if self.stones > 0:
            return f"{self.words}: at least {some(self.stones, 'more stone')}, {points}."
        if self.jobs > 0:
            return f"{self.words}: at least {some(self.jobs, 'more job')}, {points}."
        return f"{self.words}: at least {some(self.points, 'more point')}."


def better(facts: DayFacts, plan: Plan, rounds: int, seed: int) -> Plan:
    """Go on from a plan; return the best plan met, which breaks no rule and is worth no less.

    The search begins afresh, and the plan stays where what it finds is worth no more. A plan that
    breaks a rule of these facts is given up for the empty one before the search.
    """
    kept = plan if not violations(facts, plan) else Plan()
    limit = Limit(rounds=rounds, proof=0, bound=False)
    found = solve(facts, seed=seed, limit=limit, start=kept)
    if found.clashes or violations(facts, found.plan):
        return kept
    return found.plan if found.value.total > value(facts, kept).total else kept


def changes(facts: DayFacts) -> Iterator[Change]:
    """Each change of the list that could matter on this day, the same in the same order."""
    yield Change("One more person, new to the work", _with_person(facts, {}))
    skills = {facts.kind_of(job.id).skill for job in facts.jobs}
    for skill in sorted(skills):
        for level, words in LEVELS.items():
            said = words.format(skill=skill_words(facts, skill))
            yield Change(said, _with_person(facts, {skill: level}))
    for key in sorted({key for job in facts.jobs for key, n in job.kit.items() if n}):
        kit = {**facts.kit, key: facts.kit.get(key, 0) + 1}
        yield Change(f"One more {facts.labels.get(key, key)}", replace(facts, kit=kit))
    if facts.blocks:
        yield Change("One hour more for all who stay to the end", _an_hour_more(facts))


def _with_person(facts: DayFacts, levels: dict[str, int]) -> DayFacts:
    """The day with an adult more who speaks any language and leads from signed off upwards."""
    more = PersonFacts(
        MORE,
        arrive=min((block.start for block in facts.blocks), default=0),
        leave=max((block.end for block in facts.blocks), default=0),
        levels=levels,
        leads=max(levels.values(), default=NEW) >= SIGNED_OFF,
    )
    return replace(facts, people=(*facts.people, more))


def _an_hour_more(facts: DayFacts) -> DayFacts:
    """The last block an hour longer, with the people and the hours of work that end with it."""
    last = facts.blocks[-1]
    end, later = last.end, last.end + HOUR_MINUTES // facts.slot_minutes
    return replace(
        facts,
        blocks=(*facts.blocks[:-1], BlockFacts(last.name, last.start, later)),
        people=tuple(
            replace(p, leave=max(p.leave, _to(p.leave, end, later))) for p in facts.people
        ),
        jobs=tuple(_longer(job, end, later) for job in facts.jobs),
    )


def _longer(job: JobFacts, end: int, later: int) -> JobFacts:
    windows = tuple(Interval(w.start, max(w.end, _to(w.end, end, later))) for w in job.windows)
    return replace(job, windows=windows)


def _to(moment: int, end: int, later: int) -> int:
    return later if moment >= end else moment


def gain_of(change: Change, facts: DayFacts, plan: Plan, *, rounds: int, seed: int) -> Gain | None:
    """What a change brings beside `plan`, which the same search has made without it; else None.

    None too where the checker objects to either plan.
    """
    found = better(change.facts, plan, rounds, seed)
    if violations(facts, plan) or violations(change.facts, found):
        return None
    points = value(change.facts, found).total - value(facts, plan).total
    if points <= 0:
        return None
    before, after = _done(facts, plan), _done(change.facts, found)
    return Gain(change.words, after[0] - before[0], after[1] - before[1], points)


def _done(facts: DayFacts, plan: Plan) -> tuple[int, int]:
    """How many stones and how many jobs a plan finishes something at."""
    jobs = [facts.job[task.job] for crew in plan.crews for task in crew.jobs]
    return len({job.stone for job in jobs if job.stone}), len(jobs)
