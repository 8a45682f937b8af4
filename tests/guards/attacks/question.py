"""The question itself, asked of the tables and of nothing that the product concludes.

Whatever table joins a day and a job is found by following relations, so a new one is asked too.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cache

from django.apps import apps
from django.db.models import Model

from tests.guards.attacks.found import PACKAGES
from workdays.models import CrewPlan, Job, Workday

FARTHEST = 4


@dataclass(frozen=True)
class Join:
    """How rows of a table lead to a job, to a day, and to a crew plan; "" is the row itself."""

    model: type[Model]
    job: str
    day: str
    plans: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.model._meta.label} ({self.job or 'itself'}, {self.day or 'itself'})"


@cache
def joins() -> tuple[Join, ...]:
    """Return every way in which a stored row ties a job to a day."""
    return tuple(
        Join(model, job, day, tuple(ways(model, CrewPlan)))
        for model in apps.get_models(include_auto_created=True)
        if model._meta.app_label in PACKAGES
        for job in ways(model, Job, around=Workday)
        for day in ways(model, Workday, around=Job if model is not Job else None)
    )


def ways(model: type[Model], goal: type[Model], around: type[Model] | None = None) -> Iterator[str]:
    """Give the lookups that lead from a table to another along its own relations."""
    if model is goal:
        yield ""
        return
    yield from _ways(model, goal, around, ())


def _ways(
    model: type[Model], goal: type[Model], around: type[Model] | None, so_far: tuple[str, ...]
) -> Iterator[str]:
    if len(so_far) == FARTHEST:
        return
    for field in model._meta.concrete_fields:
        to = field.related_model
        if not isinstance(to, type) or to is around or to is model:
            continue
        if to is goal:
            yield "__".join((*so_far, field.name))
        else:
            yield from _ways(to, goal, around, (*so_far, field.name))


def barred_work(now: datetime) -> list[str]:
    """Return each day that is not over and holds work that touches a stone left alone."""
    return [words for join in joins() for words in _barred(join, now)]


def _barred(join: Join, now: datetime) -> Iterator[str]:
    job, day = (f"{way}__" if way else "" for way in (join.job, join.day))
    rows = join.model._default_manager.filter(
        **{
            f"{job}kind__touches": True,
            f"{job}stone__conclusion__kind": "leave_alone",
            f"{day}ends_at__gt": now,
        }
    ).exclude(**{f"{day}state__in": ["closed", "called_off"]})
    for plan in join.plans:
        rows = rows.exclude(**{f"{plan}__state": "old"})
    found = rows.values_list(f"{job}pk", f"{job}stone__number", f"{day}pk", f"{day}state")
    for pk, stone, day_pk, state in found:
        yield f"{join}: job {pk} touches stone {stone}, left alone, on day {day_pk} ({state})"
