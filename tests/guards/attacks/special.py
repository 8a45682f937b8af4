"""Providers for the few types whose parts must agree with each other to mean anything."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from itertools import count
from typing import Any
from zoneinfo import ZoneInfo

from allauth.mfa.models import Authenticator
from celery import Task
from django.db.models.fields.files import FieldFile
from django.http import HttpRequest
from django.test import RequestFactory

from coordinator import audit
from coordinator.log_ins.actions import NewPasskey
from coordinator.models import Person
from tests import factories
from tests.guards.attacks.columns import Choice, plain
from tests.guards.attacks.rows import BARRED, FINE_STONE, NOW, PLANNED, SOON
from workdays import tasks
from workdays.actions.surveys import record_survey
from workdays.models import Photograph, PlanRun, Stone, Workday
from workdays.planner.solve import Limit
from workdays.planner.writing import plan_to_json
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of
from workdays.rules.calls import Decided
from workdays.rules.day_frame import DayFrame
from workdays.rules.facts import DayFacts, Plan
from workdays.rules.weather import Window
from workdays.rules.weather_call import Decision
from workdays.watching import Watch

ROUNDS = 100
LOOK_OF_THE_JUDGE = 5


def meanwhile() -> Callable[..., None]:
    """Return a call back in which somebody judges the stone of planned work to be left alone."""

    def judge(*args: Any, **kwargs: Any) -> None:
        stone = Stone.objects.get(pk=FINE_STONE)
        values = {"on": NOW.date(), "signs": ["sugaring"], "lean_degrees": 0}
        record_survey(stone, values, by=Person.objects.earliest("pk"), now=NOW)

    return judge


def _facts() -> DayFacts:
    return planning_facts(Workday.objects.get(pk=SOON))


def facts_of_a_liar(*_: object) -> DayFacts:
    """Return facts in which barred work is meant for the day and nothing bars it."""
    day = Workday.objects.get(pk=SOON)
    day.jobs.add(BARRED)
    facts = planning_facts(day)
    day.jobs.remove(BARRED)
    free = tuple(replace(job, blocked="") for job in facts.jobs)
    return replace(facts, jobs=free)


def _plan() -> Plan:
    return plan_of(Workday.objects.get(pk=SOON).plans.filter(state="draft")[0])


def _plan_of_barred_work() -> Plan:
    """Return the draft with the barred job in the place of the planned one."""
    crews = tuple(
        replace(
            crew,
            jobs=tuple(
                replace(job, job=f"j{BARRED}") if job.job == f"j{PLANNED}" else job
                for job in crew.jobs
            ),
        )
        for crew in _plan().crews
    )
    return Plan(crews)


def _frames() -> list[Choice]:
    """Return a day as somebody may ask for it: on the same date, and on others."""
    start = factories.START.astimezone(ZoneInfo("America/Detroit"))
    zone = ZoneInfo("America/Detroit")
    days = (0, 7, 1, 400)
    return [
        plain(
            DayFrame(
                on=(start + timedelta(days=later)).date(),
                starts=start.time(),
                ends=(start + timedelta(hours=6)).time(),
                zone=zone,
                break_from=(start + timedelta(hours=3)).time(),
                break_to=(start + timedelta(hours=3, minutes=30)).time(),
            )
        )
        for later in days
    ]


def _decisions() -> list[Choice]:
    starts_at, ends_at = factories.START, factories.START + timedelta(hours=2)
    span = Window(starts_at, ends_at)
    return [
        plain(Decided(decision, "Rain.", span if decision is Decision.SHORTENED else None))
        for decision in (Decision.MOVED, *Decision)
    ]


def _request() -> HttpRequest:
    request = RequestFactory().post("/", {"jobs": BARRED})
    user = Person.objects.earliest("pk").user
    assert user is not None
    request.user = user
    return request


def _passkey() -> Authenticator:
    """Return a passkey of the organiser, who has none in the world of these attempts."""
    user = Person.objects.earliest("pk").user
    return Authenticator.objects.create(user=user, type="webauthn", data={"name": "phone"})


def _at_work() -> Watch:
    """Return a worker at a request that has found barred work; the stone is judged meanwhile."""
    judge, looks = meanwhile(), count()
    run = PlanRun.objects.create(
        day_id=SOON,
        state=PlanRun.State.RUNNING,
        started_at=NOW,
        found=plan_to_json(_plan_of_barred_work()),
    )

    def clock() -> float:
        look = next(looks)
        if look == LOOK_OF_THE_JUDGE:
            judge()
        return 2.0 * look

    watch = Watch(run, now=NOW, clock=clock)
    watch.limit = Limit(rounds=ROUNDS)
    return watch


MADE: dict[Any, Callable[[], list[Choice]]] = {
    DayFacts: lambda: [Choice("facts of a liar", facts_of_a_liar), Choice("facts", _facts)],
    Plan: lambda: [Choice("a plan of barred work", _plan_of_barred_work), Choice("a plan", _plan)],
    DayFrame: _frames,
    Decided: _decisions,
    NewPasskey: lambda: [plain(NewPasskey("phone", {}))],
    Authenticator: lambda: [Choice("a passkey", _passkey)],
    HttpRequest: lambda: [Choice("a request", _request)],
    FieldFile: lambda: [Choice("a picture", lambda: Photograph.objects.earliest("pk").file)],
    Watch: lambda: [Choice("a worker at a request", _at_work)],
    Task: lambda: [plain(tasks.run_plan)],
    audit.Actor: lambda: [
        Choice("the organiser", lambda: audit.by_login(Person.objects.earliest("pk")))
    ],
}
