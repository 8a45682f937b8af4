"""Set the priorities of jobs: by hand, or as the rules suggest."""

from collections.abc import Collection, Mapping
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.models import Cemetery, Job
from workdays.queries.suggestions import suggestions_of
from workdays.rules.refusals import Refusal
from workdays.rules.suggesting import LEAST, MOST


@transaction.atomic
def set_priorities(cemetery: Cemetery, numbers: Mapping[int, int], *, by: Person) -> int:
    """Give open jobs, by id, the priorities that a person typed; return how many changed.

    They count as set by hand from then on. Raises Refused for a number outside 1 to 100.
    """
    if not all(LEAST <= number <= MOST for number in numbers.values()):
        raise Refused([Refusal("priority", f"Give {LEAST} to {MOST}.")])
    told = []
    for job in _locked(cemetery, numbers):
        number = numbers[job.pk]
        if (job.priority, job.priority_by_hand) != (number, True):
            told.append((job, {"priority": [job.priority, number], "by_hand": True}))
            job.priority, job.priority_by_hand = number, True
    return _keep("set priority", told, by)


@transaction.atomic
def take_suggestions(cemetery: Cemetery, ids: Collection[int], *, by: Person, now: datetime) -> int:
    """Give open jobs the priorities that the rules suggest; those set by hand stay.

    Returns how many changed.
    """
    kept = [job for job in _locked(cemetery, ids) if not job.priority_by_hand]
    return _take(kept, by, now)


@transaction.atomic
def take_suggestion(cemetery: Cemetery, job_id: int, *, by: Person, now: datetime) -> int:
    """Give one open job the suggested priority, even where one was set by hand."""
    return _take(_locked(cemetery, [job_id]), by, now)


def _take(jobs: list[Job], by: Person, now: datetime) -> int:
    found = suggestions_of(jobs, now=now)
    told = []
    for job in jobs:
        suggested = found[job.pk]
        if suggested is None or (job.priority, job.priority_by_hand) == (suggested.priority, False):
            continue
        why = [ground.sentence for ground in suggested.grounds]
        told.append((job, {"priority": [job.priority, suggested.priority], "why": why}))
        job.priority, job.priority_by_hand = suggested.priority, False
    return _keep("took suggested priority", told, by)


def _locked(cemetery: Cemetery, ids: Collection[int]) -> list[Job]:
    jobs = Job.objects.filter(cemetery=cemetery, pk__in=ids, state=Job.State.OPEN)
    rows = jobs.select_related("kind", "section", "cemetery", "stone__conclusion")
    return list(rows.select_for_update(of=("self",)).order_by("pk"))


def _keep(verb: str, told: list[tuple[Job, dict[str, object]]], by: Person) -> int:
    Job.objects.bulk_update([job for job, _ in told], ["priority", "priority_by_hand"])
    audit.record_many(audit.by_login(by), verb, told)
    return len(told)
