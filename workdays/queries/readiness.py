"""Whether jobs are ready on a date: the facts, gathered in a fixed number of statements."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max

from workdays.models import Cemetery, CemeterySetting, FamilyLeave, Job, Permission
from workdays.queries.stone_facts import conclusion_facts, kind_facts
from workdays.rules.job_shape import refusals_when_closed
from workdays.rules.leave import FamilyFacts, FamilyState, PermissionFacts
from workdays.rules.outlook import Outlook, ready_on
from workdays.rules.readiness import (
    GroundRules,
    JobToDo,
    PrerequisiteFacts,
    Season,
    why_not_yet,
)
from workdays.rules.refusals import Refusal
from workdays.rules.settings import BY_KEY, Value


@dataclass(frozen=True)
class Ground:
    """What holds up jobs besides themselves, by id of cemetery, job and stone."""

    permissions: dict[int, list[PermissionFacts]]
    families: dict[int, list[FamilyFacts]]
    rules: dict[int, GroundRules]
    prerequisites: dict[int, list[PrerequisiteFacts]]
    cleaned_at: dict[int, datetime]


def readiness_of(
    jobs: Iterable[Job],
    on: date,
    *,
    same_day: bool = False,
    starts_at: datetime | None = None,
    ends_at: datetime | None = None,
) -> dict[int, list[Refusal]]:
    """Return why each job, by id, cannot be done on a date; an empty list means ready.

    ``same_day``: the jobs are meant for one day, so that the plan puts a prerequisite among them
    first. ``starts_at``: when that day begins; None: midnight, the stricter case. ``ends_at``:
    when it is over; with both, the owner's quiet hours count. That a conservator leads the
    mending is for the plan to see to. Read afresh, seven statements.
    """
    ids = [job.pk for job in jobs]
    rows = _rows(ids)
    ground = _ground(rows, frozenset(ids) if same_day else frozenset())
    return {job.pk: why_not(job, ground, on, (starts_at, ends_at)) for job in rows}


def outlooks_of(jobs: Iterable[Job], on: date) -> dict[int, Outlook]:
    """Return, by id, why each job cannot be done on a date and from when it can be.

    A job that is done or dropped has no date. Read afresh, as many statements as readiness.
    """
    rows = _rows([job.pk for job in jobs])
    ground = _ground(rows, frozenset())
    return {job.pk: outlook_of(job, ground, on) for job in rows}


def outlooks_if_added(
    jobs: Sequence[Job], before: Mapping[int, list[PrerequisiteFacts]], on: date
) -> dict[int, Outlook]:
    """Return the same for jobs that are not stored, told apart by ids below zero.

    ``before``: what each of them waits for. Reads kind, cemetery, stone and conclusion of the jobs.
    """
    ground = _ground(list(jobs), frozenset())
    ground.prerequisites.update(before)
    return {job.pk: outlook_of(job, ground, on) for job in jobs}


def _rows(ids: list[int]) -> list[Job]:
    jobs = Job.objects.filter(pk__in=ids)
    return list(jobs.select_related("kind", "stone__conclusion", "cemetery"))


def outlook_of(job: Job, ground: Ground, on: date) -> Outlook:
    """Return why a job is not ready on a date, and from when it is; read as for ``why_not``."""
    refusals = why_not(job, ground, on)
    if job.state != Job.State.OPEN:
        return Outlook(tuple(refusals), None)
    permissions, rules = ground.permissions[job.cemetery_id], ground.rules[job.cemetery_id]
    found = ready_on(_to_do(job, ground), on, permissions=permissions, ground=rules)
    return Outlook(tuple(refusals), found)


def why_not(
    job: Job,
    ground: Ground,
    on: date,
    hours: tuple[datetime | None, datetime | None] = (None, None),
) -> list[Refusal]:
    """Return why a job, read with kind, cemetery, stone and conclusion, is not ready on a date."""
    is_open = job.state == Job.State.OPEN
    starts_at, ends_at = (at.astimezone(job.cemetery.zone) if at else None for at in hours)
    return [
        *refusals_when_closed(str(job.get_state_display()), is_open=is_open),
        *why_not_yet(
            _to_do(job, ground),
            on=on,
            permissions=ground.permissions[job.cemetery_id],
            ground=ground.rules[job.cemetery_id],
            starts_at=starts_at,
            ends_at=ends_at,
        ),
    ]


def _to_do(job: Job, ground: Ground) -> JobToDo:
    cleaned_at = ground.cleaned_at.get(job.stone_id) if job.stone_id else None
    return JobToDo(
        kind=kind_facts(job.kind),
        on_stone=job.stone is not None,
        conclusion=conclusion_facts(job.stone.conclusion) if job.stone else None,
        led_by_conservator=True,
        prerequisites=tuple(ground.prerequisites[job.pk]),
        wait_hours=job.wait_hours,
        after_winter=job.after_winter,
        earliest_on=job.earliest_on,
        season=season_of(job.season_first, job.season_last),
        cleaned_on=cleaned_at.astimezone(job.cemetery.zone).date() if cleaned_at else None,
        families=tuple(ground.families[job.stone_id]) if job.stone_id else (),
    )


def season_of(first: int | None, last: int | None) -> Season | None:
    """Return a season from its stored ends, month times 100 plus day; None: the whole year."""
    if first is None or last is None:
        return None
    return Season(divmod(first, 100), divmod(last, 100))


def _ground(jobs: list[Job], together: frozenset[int]) -> Ground:
    cemeteries = {job.cemetery_id: job.cemetery for job in jobs}
    return Ground(
        permissions=permission_facts(cemeteries),
        families=family_facts(jobs),
        rules=_rules(cemeteries),
        prerequisites=prerequisite_facts(jobs, together),
        cleaned_at=_cleaned_at(jobs),
    )


def permission_facts(cemeteries: Iterable[int]) -> dict[int, list[PermissionFacts]]:
    """Return every permission by cemetery id; two statements."""
    found: dict[int, list[PermissionFacts]] = defaultdict(list)
    for row in Permission.objects.filter(cemetery__in=cemeteries).prefetch_related("kinds"):
        found[row.cemetery_id].append(
            PermissionFacts(
                kinds=frozenset(kind.key for kind in row.kinds.all()),
                starts_on=row.starts_on,
                ends_on=row.ends_on,
                no_probing=row.no_probing,
                training_demanded=row.training_demanded,
                quiet=(row.quiet_from, row.quiet_until)
                if row.quiet_from and row.quiet_until
                else None,
                words=row.terms,
            )
        )
    return found


def family_facts(jobs: Iterable[Job]) -> dict[int, list[FamilyFacts]]:
    """Return families whose leave is not given, one row a kind that it is wanted for, by stone."""
    stones = {job.stone_id for job in jobs if job.stone_id}
    rows = FamilyLeave.objects.filter(stone__in=stones, kinds__isnull=False)
    waited_for = rows.exclude(state=FamilyLeave.State.GIVEN).order_by("pk", "kinds__order")
    found: dict[int, list[FamilyFacts]] = defaultdict(list)
    for stone, key, state, asked_on, answered_on in waited_for.values_list(
        "stone", "kinds__key", "state", "asked_on", "answered_on"
    ):
        family = FamilyFacts(frozenset({key}), FamilyState(state), asked_on, answered_on)
        found[stone].append(family)
    return found


def _rules(cemeteries: dict[int, Cemetery]) -> dict[int, GroundRules]:
    keys = ("volunteer_resets", "clean_again_months")
    values: dict[int, dict[str, Value]] = {
        pk: {key: BY_KEY[key].default for key in keys} for pk in cemeteries
    }
    for row in CemeterySetting.objects.filter(cemetery__in=cemeteries, key__in=keys):
        values[row.cemetery_id][row.key] = row.value
    return {
        pk: GroundRules(
            volunteer_resets=own["volunteer_resets"] is True,
            clean_again_months=int(own["clean_again_months"]),
        )
        for pk, own in values.items()
    }


def prerequisite_facts(
    jobs: Iterable[Job], together: frozenset[int] = frozenset()
) -> dict[int, list[PrerequisiteFacts]]:
    """Return what each job waits for, by its id; ``together``: those meant for the same day."""
    found: dict[int, list[PrerequisiteFacts]] = defaultdict(list)
    zones = {job.pk: job.cemetery.zone for job in jobs}
    links = Job.prerequisites.through.objects.filter(from_job__in=zones).select_related(
        "to_job__kind", "to_job__stone", "to_job__section"
    )
    for link in links.order_by("to_job"):
        first, zone = link.to_job, zones[link.from_job_id]
        done_at = first.done_at if first.state == Job.State.DONE else None
        found[link.from_job_id].append(
            PrerequisiteFacts(
                name=str(first),
                done_at=done_at.astimezone(zone) if done_at else None,
                same_day=first.pk in together and first.state == Job.State.OPEN,
                dropped=first.state == Job.State.DROPPED,
            )
        )
    return found


def _cleaned_at(jobs: list[Job]) -> dict[int, datetime]:
    """Return when stones were last wetted by a cleaning, by id; mending does not count."""
    stones = {job.stone_id for job in jobs if job.stone_id}
    rows = Job.objects.filter(
        stone__in=stones,
        state=Job.State.DONE,
        done_at__isnull=False,
        kind__wets=True,
        kind__needs_conservator=False,
    )
    pairs = rows.order_by().values_list("stone").annotate(at=Max("done_at"))
    return {stone: at for stone, at in pairs if at}
