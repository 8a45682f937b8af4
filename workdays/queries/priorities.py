"""The page of priorities: what each job has, what the rules suggest and why."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from workdays.models import Cemetery, Job
from workdays.queries.backlog import where_of
from workdays.queries.backlog_page import backlog_page
from workdays.queries.suggestions import suggestions_of
from workdays.rules.counting import some
from workdays.rules.suggesting import Suggestion

MOST_AT_ONCE = 200


@dataclass(frozen=True)
class PriorityRow:
    """One open job, where it is, and what is suggested for it."""

    job: Job
    where: str
    suggestion: Suggestion | None

    @property
    def differs(self) -> bool:
        """Return whether something else is suggested than the job has."""
        return self.suggestion is not None and self.suggestion.priority != self.job.priority


@dataclass(frozen=True)
class PrioritiesPage:
    """The jobs shown, and the links to the others; ``takes``: how many one press changes."""

    heading: str
    rows: list[PriorityRow]
    takes: int
    before: str = ""
    after: str = ""


def priorities_page(
    cemetery: Cemetery, query: Mapping[str, str], *, now: datetime
) -> PrioritiesPage:
    """Return the open jobs that the page of jobs shows for the same address."""
    page = backlog_page(cemetery, query, now=now)
    ids = [row.job.pk for row in page.rows]
    return _page(cemetery, priority_rows(cemetery, ids, now=now), page.before, page.after)


def priorities_again(cemetery: Cemetery, rows: Sequence[PriorityRow]) -> PrioritiesPage:
    """Return the page of the jobs that were sent, for a form that was refused."""
    return _page(cemetery, list(rows))


def priority_rows(cemetery: Cemetery, ids: Iterable[int], *, now: datetime) -> list[PriorityRow]:
    """Return open jobs of a cemetery, the most urgent first, with what is suggested."""
    jobs = cemetery.jobs.filter(pk__in=list(ids)[:MOST_AT_ONCE], state=Job.State.OPEN)
    rows = list(jobs.select_related("kind", "section", "cemetery", "stone__conclusion"))
    found = suggestions_of(rows, now=now)
    return [PriorityRow(job, where_of(job), found[job.pk]) for job in rows]


def _page(
    cemetery: Cemetery, rows: list[PriorityRow], before: str = "", after: str = ""
) -> PrioritiesPage:
    differ = sum(row.differs for row in rows)
    takes = sum(row.differs and not row.job.priority_by_hand for row in rows)
    jobs = some(len(rows), "job")
    said = f"another priority is suggested for {differ} of {jobs}"
    heading = f"{cemetery.name}: {said if differ else f'nothing else is suggested for {jobs}'}"
    return PrioritiesPage(heading, rows, takes, before, after)
