"""From what a stone needs to the jobs it takes, step by step, and never the same job twice.

Order and waits are rows of the programme, each with its source. What is decided here: which
chains a conclusion asks for, which steps are there already, and what is left out. Recording comes
before anything touches a stone that is losing its face, and a look that has run out is renewed
first (Chicora Foundation, General Guidelines for Cemetery Work: tap before every treatment).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from workdays.rules.kinds import KindFacts
from workdays.rules.triage import Conclusion, Kind, Need

LOOK_AHEAD = timedelta(days=30)  # a look is due a month before the last one runs out
HAZARD_PRIORITY = 80


class ChainNeed(StrEnum):
    """What a chain is for, in the order in which chains are begun."""

    LOSING_FACE = "losing_face"
    NOT_SEEN = "not_seen"
    LOOK_AGAIN = "look_again"
    RESET = "reset"
    CLEAN = "clean"
    CONSERVATOR = "conservator"


# Common practice, no source: what is lost for ever first, then what can fall, then the rest.
PRIORITY: dict[ChainNeed, int] = {
    ChainNeed.LOSING_FACE: 70,
    ChainNeed.NOT_SEEN: 40,
    ChainNeed.LOOK_AGAIN: 35,
    ChainNeed.RESET: 60,
    ChainNeed.CLEAN: 30,
    ChainNeed.CONSERVATOR: 55,
}


@dataclass(frozen=True, slots=True)
class StepFacts:
    """One step of a chain; `after`: steps of the same chain. `is_look`: the kind is a survey."""

    id: int
    chain: int
    need: ChainNeed
    kind: KindFacts
    on_section: bool = False
    is_look: bool = False
    after_winter: bool = False
    after: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class JobFacts:
    """A job at the stone, or of its section as a whole, that is open or done.

    `step` and `chain` None: made by hand. `waits`: it comes after other jobs.
    """

    id: int
    kind: str
    is_open: bool = True
    done_on: date | None = None
    step: int | None = None
    chain: int | None = None
    on_section: bool = False
    is_look: bool = False
    after_winter: bool = False
    waits: bool = False


@dataclass(frozen=True, slots=True)
class StoneFacts:
    """What holds for a stone; `since`: the day of the look or word that said so."""

    conclusion: Conclusion | None = None
    since: date | None = None
    losing_face: bool = False


@dataclass(frozen=True, slots=True)
class NewJob:
    """A job to add for a step, after the new jobs of other steps and after jobs that are there."""

    step: int
    priority: int
    after_steps: tuple[int, ...] = ()
    after_jobs: tuple[int, ...] = ()
    earliest_on: date | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """The jobs to add in order, the jobs that are there by step, and what is left out and why."""

    add: tuple[NewJob, ...] = ()
    there: tuple[tuple[int, tuple[int, ...]], ...] = ()
    left_out: tuple[tuple[int, str], ...] = ()


@dataclass(slots=True)
class _Sorted:
    """The steps so far: those that need a new job, and what stands for each of the others."""

    new: dict[int, StepFacts] = field(default_factory=dict)
    there: dict[int, tuple[int, ...]] = field(default_factory=dict)
    same_as: dict[int, int] = field(default_factory=dict)
    left_out: dict[int, str] = field(default_factory=dict)
    idle: set[int] = field(default_factory=set)


def needs_of(stone: StoneFacts, *, on: date) -> list[ChainNeed]:
    """Return which chains a stone asks for, in the order in which they are begun."""
    needs = {ChainNeed.LOSING_FACE} if stone.losing_face else set()
    found = stone.conclusion
    if found is None:
        needs.add(ChainNeed.NOT_SEEN)
    elif found.kind is Kind.CONSERVATOR:
        needs.add(ChainNeed.CONSERVATOR)
    elif found.kind is Kind.NEEDS:
        needs |= {ChainNeed(need.value) for need in found.needs}
    if found and found.kind is not Kind.LEAVE_ALONE and _due(found, on):
        needs.add(ChainNeed.LOOK_AGAIN)
    return [need for need in ChainNeed if need in needs]


def proposal(
    stone: StoneFacts, steps: Iterable[StepFacts], jobs: Iterable[JobFacts], *, on: date
) -> Proposal:
    """Return what to add for a stone on a date, given the jobs that it and its section have.

    `steps`: of every chain in use, each after those it waits for where that is told by order.
    """
    wanted, every, present = needs_of(stone, on=on), list(steps), list(jobs)
    chosen = [step for need in wanted for step in every if step.need is need]
    sorted_ = _Sorted()
    for step in (step for step in chosen if not step.on_section):
        _sort(step, stone, present, sorted_, on)
    for step in (step for step in chosen if step.on_section):
        _sort_on_section(step, chosen, present, sorted_)
    firsts = _firsts(stone, chosen, on)
    ordered = [step for step in chosen if step.id in sorted_.new]
    return Proposal(
        add=tuple(_new_job(step, chosen, sorted_, firsts, stone, on) for step in ordered),
        there=tuple(sorted_.there.items()),
        left_out=tuple(sorted_.left_out.items()),
    )


def _due(found: Conclusion, on: date) -> bool:
    return found.look_again_on is not None and on > found.look_again_on


def _sort(
    step: StepFacts, stone: StoneFacts, jobs: Sequence[JobFacts], found: _Sorted, on: date
) -> None:
    """Put one step at the stone where it belongs: there, left out, the same as another, or new."""
    covering = [job for job in jobs if _covers(job, step) and _counts(job, step, stone.since)]
    why = _left_out(step, stone)
    if covering:
        found.there[step.id] = _open_or_last(covering)
    elif why:
        found.left_out[step.id] = why
    elif _seen_already(step, stone, on):
        found.idle.add(step.id)
    else:
        _new_or_same(step, found)


def _sort_on_section(
    step: StepFacts, chosen: Sequence[StepFacts], jobs: Sequence[JobFacts], found: _Sorted
) -> None:
    """Work on the whole section is one job for all its stones, and only for what comes after."""
    open_jobs = [job for job in jobs if job.on_section and job.is_open and _same_kind(job, step)]
    last, to_do = not _later(step, chosen), {job.id for job in jobs if job.is_open}
    waiting = {one for one, ids in found.there.items() if to_do & set(ids)} | set(found.new)
    if open_jobs and (last or _opens(step, chosen, found, waiting)):
        found.there[step.id] = _open_or_last(open_jobs)
    elif not last and not _opens(step, chosen, found, set(found.new)):
        found.idle.add(step.id)
    else:
        _new_or_same(step, found)


def _opens(
    step: StepFacts, chosen: Sequence[StepFacts], found: _Sorted, waiting: Collection[int]
) -> bool:
    """Whether one of these steps comes next after a step; what is left out is looked through."""
    todo, seen = {step.id}, {step.id}
    while todo:
        after = {one.id for one in chosen if one.after & todo} - seen
        if after & set(waiting):
            return True
        seen |= after
        todo = after & (set(found.left_out) | found.idle)
    return False


def _new_or_same(step: StepFacts, found: _Sorted) -> None:
    """A step that another chain of this stone has too is done once for both."""
    twin = next((one for one in found.new.values() if _is_twin(one, step)), None)
    if twin is None:
        found.new[step.id] = step
    else:
        found.same_as[step.id] = twin.id


def _is_twin(one: StepFacts, other: StepFacts) -> bool:
    if one.chain == other.chain or one.kind.key != other.kind.key:
        return False
    return one.after_winter == other.after_winter and not (
        other.is_look and (one.after or other.after)
    )


def _same_kind(job: JobFacts, step: StepFacts) -> bool:
    return job.kind == step.kind.key and job.after_winter == step.after_winter


def _covers(job: JobFacts, step: StepFacts) -> bool:
    """Whether a job stands for a step: its own, or one made by hand or by another chain.

    Of looks only the first of a chain is like another: the later ones have each their own time.
    """
    if job.on_section:
        return False
    if job.chain == step.chain:
        return job.step == step.id
    first_looks = not step.is_look or not (job.waits or step.after)
    return _same_kind(job, step) and first_looks


def _counts(job: JobFacts, step: StepFacts, since: date | None) -> bool:
    """Whether a job is of this round: to do, or done since the stone was judged.

    The look that led to the judgement is not one that comes after it.
    """
    if job.is_open:
        return True
    if job.done_on is None:
        return False
    return since is None or job.done_on > since or (job.done_on == since and not step.is_look)


def _open_or_last(jobs: Sequence[JobFacts]) -> tuple[int, ...]:
    """Return the open jobs, or else the one that was done last."""
    open_jobs = tuple(sorted(job.id for job in jobs if job.is_open))
    last = max(jobs, key=lambda job: (job.done_on or date.min, job.id))
    return open_jobs or (last.id,)


def _left_out(step: StepFacts, stone: StoneFacts) -> str:
    """Return why volunteers do not wet this stone now; empty: they may, or the step does not."""
    found = stone.conclusion
    if found is None or not step.kind.wets or step.kind.needs_conservator:
        return ""
    if Need.CLEAN not in found.needs:
        return "It does not need cleaning, and each cleaning can harm."
    return next((reason.sentence for reason in found.reasons if reason.bars_wet), "")


def _seen_already(step: StepFacts, stone: StoneFacts, on: date) -> bool:
    """Whether the look that led to the conclusion is the step itself."""
    if not step.is_look or step.after or step.after_winter or stone.conclusion is None:
        return False
    return step.need is not ChainNeed.LOOK_AGAIN and not _due(stone.conclusion, on)


def _later(step: StepFacts, chosen: Sequence[StepFacts]) -> set[int]:
    """Return the steps that come after one, near or far."""
    found = {step.id}
    while more := {one.id for one in chosen if one.after & found} - found:
        found |= more
    return found - {step.id}


def _firsts(stone: StoneFacts, chosen: Sequence[StepFacts], on: date) -> list[StepFacts]:
    """Return the last steps of what must be done before anything touches the stone."""
    due = stone.conclusion is not None and _due(stone.conclusion, on)
    needs = {ChainNeed.LOSING_FACE} | ({ChainNeed.LOOK_AGAIN} if due else set())
    return [step for step in chosen if step.need in needs and not _later(step, chosen)]


def _new_job(
    step: StepFacts,
    chosen: Sequence[StepFacts],
    found: _Sorted,
    firsts: Sequence[StepFacts],
    stone: StoneFacts,
    on: date,
) -> NewJob:
    by_id = {one.id: one for one in chosen}
    before = set(step.after)
    if step.kind.hands_on and not step.on_section and step.need not in {f.need for f in firsts}:
        before |= {one.id for one in firsts}
    steps, jobs = _before(before, by_id, found)
    return NewJob(
        step=step.id,
        priority=_priority(step, stone),
        after_steps=tuple(sorted(steps - {step.id})),
        after_jobs=tuple(sorted(jobs)),
        earliest_on=_earliest(step, stone, on),
    )


def _before(
    ids: set[int], by_id: dict[int, StepFacts], found: _Sorted
) -> tuple[set[int], set[int]]:
    """Return the new steps and the jobs that stand for steps; one left out is looked through."""
    steps: set[int] = set()
    jobs: set[int] = set()
    todo, seen = list(ids), set(ids)
    while todo:
        one = todo.pop()
        if one in found.new or one in found.same_as:
            steps.add(found.same_as.get(one, one))
        elif one in found.there:
            jobs.update(found.there[one])
        else:
            more = by_id[one].after - seen
            seen |= more
            todo.extend(more)
    return steps, jobs


def _priority(step: StepFacts, stone: StoneFacts) -> int:
    hazard = stone.conclusion is not None and stone.conclusion.cordon
    return HAZARD_PRIORITY if hazard and step.need is ChainNeed.RESET else PRIORITY[step.need]


def _earliest(step: StepFacts, stone: StoneFacts, on: date) -> date | None:
    """Return when a look that is not due yet should be taken; None: now."""
    until = stone.conclusion.look_again_on if stone.conclusion else None
    if step.need is not ChainNeed.LOOK_AGAIN or until is None or step.after:
        return None
    return until - LOOK_AHEAD if until - LOOK_AHEAD > on else None
