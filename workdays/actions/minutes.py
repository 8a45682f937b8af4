"""Give open jobs the minutes that were learned from recorded times."""

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.models import Cemetery, Job
from workdays.queries.minutes import minutes_rows
from workdays.rules.refusals import Refusal


@transaction.atomic
def use_learned_minutes(cemetery: Cemetery, key: str, *, by: Person) -> int:
    """Give the open jobs of one work and size the learned minutes; return how many changed.

    Jobs whose minutes a person chose keep them, and so do jobs that were begun.
    Raises Refused for a work that is not there, and where no time was noted.
    """
    row = next((row for row in minutes_rows(cemetery) if row.key == key), None)
    if row is None or not row.estimate.days:
        raise Refused([Refusal("nothing", "No time was noted for this work; nothing is changed.")])
    jobs = Job.objects.select_for_update().filter(
        pk__in=row.open_jobs, state=Job.State.OPEN, minutes_by_hand=False, minutes_left=None
    )
    told = []
    for job in jobs:
        told.append((job, {"person_minutes": [job.person_minutes, row.estimate.minutes]}))
        job.person_minutes, job.learned_days = row.estimate.minutes, row.estimate.days
    Job.objects.bulk_update([job for job, _ in told], ["person_minutes", "learned_days"])
    audit.record_many(audit.by_login(by), "took learned minutes", told)
    return len(told)
