"""Which stones and whole sections of a cemetery are meant by what its plan was asked for."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from workdays.models import Cemetery, CrewJob, Job, Section, Stone
from workdays.queries.blocked import held_up, place_rules
from workdays.queries.plan_asked import Asked
from workdays.queries.readiness import readiness_of
from workdays.queries.stone_facts import conclusion_facts
from workdays.rules import triage
from workdays.rules.triage import Mark, gravest


@dataclass(frozen=True)
class Matches:
    """Ids of stones; of sections with the kinds of their own work; the crews at each by name."""

    stones: frozenset[int] = frozenset()
    sections: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    crews: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    section_crews: Mapping[int, tuple[str, ...]] = field(default_factory=dict)


def marks_of(stone: Stone, *, on: date) -> tuple[Mark, ...]:
    """Return every state that holds for a stone, the one that it shows first."""
    concluded = conclusion_facts(stone.conclusion)
    shown = gravest(concluded, on=on)
    needs = concluded.needs if concluded and concluded.kind is triage.Kind.NEEDS else frozenset()
    due = bool(
        concluded
        and concluded.kind is triage.Kind.NEEDS
        and concluded.look_again_on
        and concluded.look_again_on < on
    )
    held = {shown, *(Mark(need.value) for need in needs), *([Mark.LOOK_AGAIN] if due else [])}
    return tuple(mark for mark in Mark if mark in held)


def matches_of(cemetery: Cemetery, asked: Asked, marks: Mapping[int, tuple[Mark, ...]]) -> Matches:
    """Return the stones and sections that are meant; ``marks`` are those of each stone by id.

    A stone is meant if its states hold the one asked for, and one of its jobs is of the kind,
    ready on the date and with the crew asked for. A section stands for its own jobs.
    """
    stones = {pk for pk, held in marks.items() if asked.needs is None or asked.needs in held}
    if not (asked.kind or asked.ready_on or asked.crew):
        return Matches(frozenset(stones if asked.needs else ()))
    at_work = _crews_of_jobs(asked)
    jobs = _jobs(cemetery, asked, at_work)
    there = [job for job in jobs if job.stone_id is not None and job.stone_id in stones]
    whole = [] if asked.needs else [job for job in jobs if job.stone_id is None]
    return Matches(
        stones=frozenset(job.stone_id for job in there if job.stone_id),
        sections=_kinds(whole),
        crews=_named(((job.stone_id, job.pk) for job in there), at_work),
        section_crews=_named(((job.section_id, job.pk) for job in whole), at_work),
    )


def ready_stones(cemetery: Cemetery, section: Section | None, *, on: date) -> frozenset[int]:
    """Return the ids of the stones, of one section or all, where some job is ready on a date.

    The database judges: a large cemetery has ten thousand open jobs.
    """
    found = cemetery.jobs.filter(state=Job.State.OPEN, stone__isnull=False)
    ready = found.filter(~held_up(place_rules(cemetery), on=on)).order_by()
    ready = ready.filter(section=section) if section else ready
    return frozenset(pk for pk in ready.values_list("stone", flat=True) if pk)


def _jobs(cemetery: Cemetery, asked: Asked, at_work: Mapping[int, list[str]]) -> list[Job]:
    """Return the jobs that are meant; a crew's work counts when it is done, too."""
    found = cemetery.jobs.filter(section=asked.section) if asked.section else cemetery.jobs.all()
    found = found.filter(pk__in=at_work) if asked.crew else found.filter(state=Job.State.OPEN)
    if asked.kind:
        found = found.filter(kind=asked.kind)
    jobs = list(found.select_related("kind"))
    if not asked.ready_on:
        return jobs
    readiness = readiness_of(jobs, asked.ready_on, same_day=asked.crew is not None)
    return [job for job in jobs if not readiness[job.pk]]


def _crews_of_jobs(asked: Asked) -> dict[int, list[str]]:
    """Return the names of the crews at each job, by its id, for the crews asked for."""
    if asked.crew is None:
        return {}
    rows = CrewJob.objects.filter(crew__plan=asked.crew.plan).order_by("starts_at", "pk")
    if asked.crew.name:
        rows = rows.filter(crew__name=asked.crew.name)
    found: dict[int, list[str]] = defaultdict(list)
    for job, name in rows.values_list("job", "crew__name"):
        found[job].append(name)
    return dict(found)


def _kinds(jobs: Iterable[Job]) -> dict[int, tuple[str, ...]]:
    """Return the kinds of the work on whole sections, in words, each once."""
    kinds: dict[int, dict[str, None]] = defaultdict(dict)
    for job in jobs:
        kinds[job.section_id].setdefault(job.kind.name.lower())
    return {section: tuple(found) for section, found in kinds.items()}


def _named(
    places: Iterable[tuple[int | None, int]], at_work: Mapping[int, list[str]]
) -> dict[int, tuple[str, ...]]:
    """Return the crews at each place, each once."""
    names: dict[int, dict[str, None]] = defaultdict(dict)
    for place, job in places:
        for name in at_work.get(job, ()):
            names[place or 0].setdefault(name)
    return {place: tuple(found) for place, found in names.items()}
