"""The priorities that the rules suggest for some jobs, from rows, in three statements."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from workdays.models import FamilyLeave, Job, Survey, Workday
from workdays.queries.stone_facts import conclusion_facts, kind_facts, survey_facts
from workdays.rules.suggesting import JobToRank, Suggestion, suggestion
from workdays.rules.triage import SurveyFacts

READING = "recording"
Looks = dict[int, list[SurveyFacts]]


@dataclass(frozen=True)
class _Known:
    """What speaks for jobs: looks by stone, leave by stone and kind, days by section."""

    looks: Looks
    given: set[tuple[int, int]]
    planned: dict[int, list[tuple[date, int]]]


def suggestions_of(jobs: Iterable[Job], *, now: datetime) -> dict[int, Suggestion | None]:
    """Return by id what the rules suggest; None where nothing speaks for any priority.

    Read with kind, cemetery, stone and conclusion; three statements.
    """
    rows = list(jobs)
    stones = {job.stone_id for job in rows if job.stone_id}
    known = _Known(_looks(stones), _given(stones), _planned(rows, now))
    return {job.pk: suggestion(_to_rank(job, known)) for job in rows}


def _to_rank(job: Job, known: _Known) -> JobToRank:
    looks: Sequence[SurveyFacts] = known.looks[job.stone_id] if job.stone_id else ()
    holds = conclusion_facts(job.stone.conclusion) if job.stone else None
    others = (on for on, other in known.planned[job.section_id] if other != job.pk)
    return JobToRank(
        kind=kind_facts(job.kind),
        reads=job.kind.key == READING,
        newest=looks[0] if looks else None,
        before=looks[1] if len(looks) > 1 else None,
        cordon=any(reason.cordon for reason in holds.reasons) if holds else False,
        family_waits=(job.stone_id or 0, job.kind_id) in known.given,
        planned_on=min(others, default=None),
    )


def _looks(stones: Iterable[int]) -> Looks:
    """Return the looks at each stone, the newest first."""
    found: Looks = defaultdict(list)
    rows = Survey.objects.filter(stone__in=stones).select_related("stone")
    for row in rows.order_by("-on", "-pk"):
        found[row.stone_id].append(survey_facts(row))
    return found


def _given(stones: Iterable[int]) -> set[tuple[int, int]]:
    """Return for which stones and kinds of work a family was asked and gave its leave."""
    rows = FamilyLeave.objects.filter(stone__in=stones, state=FamilyLeave.State.GIVEN)
    return set(rows.exclude(kinds=None).values_list("stone", "kinds"))


def _planned(jobs: Iterable[Job], now: datetime) -> dict[int, list[tuple[date, int]]]:
    """Return the coming days, with each job meant for them, by section."""
    found: dict[int, list[tuple[date, int]]] = defaultdict(list)
    zones = {job.section_id: job.cemetery.zone for job in jobs}
    links = Workday.jobs.through.objects.filter(
        job__section__in=zones, workday__ends_at__gt=now, workday__state__in=Workday.COMING
    )
    for section, job, at in links.values_list("job__section", "job", "workday__starts_at"):
        found[section].append((at.astimezone(zones[section]).date(), job))
    return found
