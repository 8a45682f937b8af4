"""The work that a look ahead counts: open jobs that days can do, and why others are left out."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from workdays.models import Cemetery, Job, JobTime
from workdays.queries.blocked import BITS, PlaceRules, place_rules, reasons
from workdays.queries.plan_keys import job_key
from workdays.queries.readiness import outlooks_if_added, prerequisite_facts, season_of
from workdays.rules.ahead_facts import Undone
from workdays.rules.backlog_words import REASON_WORDS
from workdays.rules.facts import JobFacts
from workdays.rules.learning import Part, whole_jobs
from workdays.rules.outlook import STANDING

# Reasons that need somebody's word or look; another job first is a chain, and counted.
PERSONS = sum(BITS[code] for code in STANDING & BITS.keys() if code != "prerequisite")
IN_TIME = sum(
    BITS[code]
    for code in ("permission", "waiting", "winter", "too-early", "season", "cleaned-lately")
)
NEWEST_TIMES = 300


@dataclass(frozen=True)
class OpenWork:
    """Every open job of a cemetery: those that days can do, by id, and why not the others.

    `asked`: the kind of work and the section of each open job. `before`: what waits for what.
    """

    rules: PlaceRules
    jobs: Mapping[int, Job] = field(default_factory=dict)
    not_before: Mapping[int, date] = field(default_factory=dict)
    before: Mapping[int, frozenset[int]] = field(default_factory=dict)
    blocked: Mapping[int, str] = field(default_factory=dict)


def open_work(place: Cemetery, *, on: date) -> OpenWork:
    """Return the open jobs of a cemetery as a look ahead from a date sees them."""
    rules = place_rules(place)
    rows = place.jobs.filter(state=Job.State.OPEN).annotate(found=reasons(rules, on=on))
    jobs = {job.pk: job for job in rows.select_related("kind", "stone__conclusion", "section")}
    for job in jobs.values():
        job.cemetery = place
    links = prerequisites_of(place)
    blocked = {pk: _first(job.found) for pk, job in jobs.items() if job.found & PERSONS}
    for one, other, state in links:
        if one in jobs and other not in jobs and state != Job.State.DONE:
            blocked.setdefault(one, "prerequisite")
    waits = [j for pk, j in jobs.items() if pk not in blocked and j.found & IN_TIME]
    not_before = _not_before(waits, on, blocked)
    before: dict[int, set[int]] = {}
    for one, other, _state in links:
        if one in jobs and other in jobs:
            before.setdefault(one, set()).add(other)
    _block_what_waits(before, blocked)
    return OpenWork(
        rules=rules,
        jobs=jobs,
        not_before=not_before,
        before={pk: frozenset(others) for pk, others in before.items()},
        blocked=blocked,
    )


def prerequisites_of(place: Cemetery) -> list[tuple[int, int, str]]:
    """Return which job waits for which, and the state of that."""
    links = Job.prerequisites.through.objects.filter(
        from_job__cemetery=place, from_job__state=Job.State.OPEN
    )
    return list(links.order_by("pk").values_list("from_job", "to_job", "to_job__state"))


def _first(found: int) -> str:
    """Return the first reason that needs a person, in the order in which rules tell them."""
    return next(code for code, bit in BITS.items() if found & bit & PERSONS)


def _not_before(jobs: Sequence[Job], on: date, blocked: dict[int, str]) -> dict[int, date]:
    """Return from when jobs can be done that only time holds up; others join the blocked ones."""
    done = {
        pk: [fact for fact in facts if fact.done_at]
        for pk, facts in prerequisite_facts(jobs).items()
    }
    found = {}
    known = {job.pk: done.get(job.pk, []) for job in jobs}
    for pk, outlook in outlooks_if_added(jobs, known, on).items():
        if outlook.ready_on:
            found[pk] = outlook.ready_on
        else:
            blocked[pk] = next((one.code for one in outlook.refusals), "too-early")
    return found


def _block_what_waits(before: Mapping[int, Iterable[int]], blocked: dict[int, str]) -> None:
    """Block whatever waits for a job that is blocked, however far down the chain."""
    unlocks: dict[int, list[int]] = {}
    for one, others in before.items():
        for other in others:
            unlocks.setdefault(other, []).append(one)
    todo = list(blocked)
    while todo:
        for one in unlocks.get(todo.pop(), ()):
            if one not in blocked:
                blocked[one] = "prerequisite"
                todo.append(one)


def undone(work: OpenWork, asked: Iterable[int], *, longest_slots: int, max_crew: int) -> "Chosen":
    """Return the jobs asked for, with what must come first, and why some are left out."""
    chosen, left_out = set(asked), Counter[str]()
    todo = list(chosen)
    while todo:
        for other in work.before.get(todo.pop(), ()):
            if other not in chosen:
                chosen.add(other)
                todo.append(other)
    blocked = dict(work.blocked)
    for pk in chosen:
        people = min(work.jobs[pk].most, max_crew)
        if work.jobs[pk].minutes_to_do > 15 * longest_slots * people:
            blocked.setdefault(pk, "too-long")
    _block_what_waits(work.before, blocked)
    left_out.update(blocked[pk] for pk in chosen if pk in blocked)
    kept = sorted(pk for pk in chosen if pk not in blocked)
    return Chosen(tuple(_undone(work, pk) for pk in kept), tuple(kept), left_out)


@dataclass(frozen=True)
class Chosen:
    """Jobs that days can do, and how many cannot be done, by reason."""

    undone: tuple[Undone, ...]
    ids: tuple[int, ...]
    left_out: Counter[str]


def _undone(work: OpenWork, pk: int) -> Undone:
    job = work.jobs[pk]
    facts = JobFacts(
        id=job_key(pk),
        kind=job.kind.key,
        section=f"s{job.section_id}",
        minutes=job.minutes_to_do,
        priority=job.priority,
        min_people=job.fewest,
        max_people=job.most,
        kit={key: int(amount) for key, amount in job.equipment.items()},
        lifters=job.lifters,
        after=tuple(job_key(other) for other in sorted(work.before.get(pk, ()))),
        stone=str(job.stone_id or ""),
    )
    return Undone(
        facts,
        wait_hours=job.wait_hours,
        after_winter=job.after_winter,
        not_before=work.not_before.get(pk),
        season=season_of(job.season_first, job.season_last),
    )


def pace_of(place: Cemetery) -> tuple[float, ...]:
    """Return how long the newest finished jobs here took, as a share of their estimate."""
    rows = JobTime.objects.filter(job__cemetery=place).order_by("-on", "-pk")
    parts, estimates = [], {}
    fields = ("job", "on", "person_minutes", "finished", "job__person_minutes")
    for job, on, minutes, finished, estimate in rows.values_list(*fields)[:NEWEST_TIMES]:
        parts.append(Part(job, on, minutes, finished))
        estimates[job] = estimate
    by_job: dict[int, list[Part]] = {}
    for part in parts:
        by_job.setdefault(part.job, []).append(part)
    return tuple(
        took.person_minutes / estimates[job]
        for job, own in sorted(by_job.items())
        for took in whole_jobs(own)
    )


def why_left_out(code: str) -> str:
    """Return why jobs are not counted, in few words."""
    return REASON_WORDS.get(code, "too long for one stretch of work: cut them up")
