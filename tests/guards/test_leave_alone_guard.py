"""The guard itself can fail: it reports holes that are planted, by whatever name they come."""

import types
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from tests.guards.attacks import special
from tests.guards.attacks.arguments import NoProvider
from tests.guards.attacks.found import functions_of
from tests.guards.test_leave_alone import FOUND, attempt
from workdays import drafting
from workdays.actions import changing, jobs_of_days
from workdays.models import Conclusion, Crew, CrewJob, Job, KindOfWork, Stone, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("barred_world")]


def by_rows(day: Workday, job: Job) -> None:
    day.jobs.add(job)


def by_numbers(*, job_id: int, day_id: int) -> None:
    Workday.objects.get(pk=day_id).jobs.add(job_id)


def by_lists(target: Workday, job_ids: list[int]) -> None:
    target.jobs.set(job_ids)


def by_the_other_side(work: Job, days: "list[Workday]", now: datetime) -> None:
    work.days.set(days)


def into_a_crew(crew: Crew, job: Job) -> None:
    rows = {"starts_at": crew.block.starts_at, "ends_at": crew.block.ends_at}
    CrewJob.objects.create(crew=crew, job=job, **rows)


def by_the_kind(kind: KindOfWork, touches: bool) -> None:
    KindOfWork.objects.filter(pk=kind.pk).update(touches=touches)


def by_the_stone(stone: Stone, kind: Conclusion.Kind) -> None:
    stone.conclusion = Conclusion.objects.create(stone=stone, kind=kind)
    stone.save()


def by_the_clock(day: Workday, ends_at: datetime) -> None:
    Workday.objects.filter(pk=day.pk).update(ends_at=ends_at)


def by_waking_it(day: Workday) -> None:
    Workday.objects.filter(pk=day.pk).update(state=Workday.State.OPEN)


PLANTED = [
    *(by_rows, by_numbers, by_lists, by_the_other_side, into_a_crew),
    *(by_the_kind, by_the_stone, by_the_clock, by_waking_it),
]


@pytest.mark.parametrize("planted", PLANTED, ids=lambda one: one.__name__)
def test_a_planted_function_is_found_tried_and_reported(planted: Callable[..., None]) -> None:
    module = types.ModuleType(planted.__module__)
    setattr(module, planted.__name__, planted)
    [found] = functions_of(module)
    assert attempt(found, to_the_end=False).holes


BROKEN: list[tuple[object, str, Any, str]] = [
    (jobs_of_days, "_job_refusals", [], "workdays.actions.jobs_of_days.put_jobs_on_day"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.backlog.change_job"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.surveys.record_survey"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.surveys.override_conclusion"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.concluding.conclude"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.spreadsheets.bring_in"),
    (jobs_of_days, "_taken_off", [], "workdays.actions.undoing.undo_import"),
    (drafting, "facts_of", special.facts_of_a_liar, "workdays.drafting.save_draft"),
    (drafting, "facts_of", special.facts_of_a_liar, "workdays.drafting.redraft"),
    (changing, "OWN_DOOR", {}, "workdays.actions.changing.change"),
]


@pytest.mark.parametrize(("module", "name", "gives", "action"), BROKEN)
def test_a_door_that_is_broken_is_reported(
    module: object, name: str, gives: Any, action: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    is_ready = name.isupper() or callable(gives)
    broken = gives if is_ready else lambda *args, **kwargs: gives
    monkeypatch.setattr(module, name, broken)
    assert attempt(FOUND[action], to_the_end=False).holes


def unheard_of(stone: Stone, what: memoryview) -> None:
    stone.jobs.all()


def test_a_function_that_cannot_be_tried_fails_by_its_name() -> None:
    module = types.ModuleType(unheard_of.__module__)
    module.unheard_of = unheard_of  # type: ignore[attr-defined]  # planted
    [found] = functions_of(module)
    with pytest.raises((NoProvider, pytest.fail.Exception), match="unheard_of"):
        attempt(found)
