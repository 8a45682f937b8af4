"""The owner's terms that bind a day or a job, as its pages and sheets say them."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from workdays.models import Cemetery, CemeterySetting, Job, KindOfWork, Workday
from workdays.queries.days import local_date
from workdays.queries.readiness import permission_facts
from workdays.rules.leave import Quiet, runs_into
from workdays.rules.settings import BY_KEY
from workdays.rules.terms import ProbingSetting, Terms, term_sentences, terms_on


@dataclass(frozen=True)
class DayTerms:
    """What is said of a day's terms; ``clashes`` are quiet hours that its own hours run into."""

    sentences: list[str]
    clashes: tuple[Quiet, ...]


def terms_of_day(day: Workday) -> DayTerms:
    """Return the terms for the kinds of work meant for a day; four statements.

    While no job is chosen and nothing is taught, those for any kind.
    """
    taught = Q(skill=day.teaches_id) if day.teaches_id else Q(pk__in=[])
    meant = KindOfWork.objects.filter(Q(jobs__days=day) | taught)
    kinds = set(meant.order_by().values_list("key", flat=True))
    terms = terms_of(day.cemetery, on=local_date(day), kinds=kinds)
    starts_at, ends_at = (at.astimezone(day.cemetery.zone) for at in (day.starts_at, day.ends_at))
    return DayTerms(
        sentences=term_sentences(terms, probing_of(day.cemetery)),
        clashes=tuple(quiet for quiet in terms.quiet if runs_into(quiet, starts_at, ends_at)),
    )


def terms_of_job(job: Job, *, on: date) -> list[str]:
    """Return what the owner asks of whoever does a job on a date; three statements."""
    terms = terms_of(job.cemetery, on=on, kinds={job.kind.key})
    return term_sentences(terms, probing_of(job.cemetery))


def terms_of(cemetery: Cemetery, *, on: date, kinds: Collection[str] = ()) -> Terms:
    """Return the owner's terms on a date for some kinds of work (none: for any)."""
    return terms_on(permission_facts([cemetery.pk])[cemetery.pk], on, kinds=kinds)


def probing_of(cemetery: Cemetery) -> ProbingSetting:
    """Return what a cemetery has decided about probing; one statement."""
    row = CemeterySetting.objects.filter(cemetery=cemetery, key="probing").first()
    if row is None:
        default = BY_KEY["probing"]
        return ProbingSetting(allowed=default.default is True, source=default.source)
    return ProbingSetting(allowed=row.value is True, source=row.source)
