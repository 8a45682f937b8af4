"""The planner's run: gather the facts, solve, check, save a draft."""

import time
from dataclasses import dataclass
from datetime import datetime

from django.db import OperationalError, transaction
from django.db.models import Max

from coordinator.models import Person
from workdays import clashes, what_ifs
from workdays.broken import Broken, Clashing
from workdays.models import (
    Crew,
    CrewJob,
    CrewPlan,
    KeptApart,
    KeptOut,
    Placement,
    PlanRun,
    StaysOut,
    Workday,
)
from workdays.planner.explain import explain, grouped
from workdays.planner.going_on import REST_OF_DAY
from workdays.planner.held import Held, held_on
from workdays.planner.solve import Limit, Solution, solve
from workdays.queries.blocks import work_blocks
from workdays.queries.locking import locked_day
from workdays.queries.plan_difference import against_published
from workdays.queries.plan_keys import moment_of, row_number
from workdays.queries.plan_runs import free_runs, hopeless_runs
from workdays.queries.planning import facts_of, rest_asked, rest_shown
from workdays.queries.plans import plan_and_held, shown_plan
from workdays.rules.crew import value, violations
from workdays.rules.crew_naming import Names
from workdays.rules.facts import DayFacts, Plan
from workdays.rules.rest import Rest, binding
from workdays.watching import ROUNDS, NotWanted, Watch

TIMES = 3  # so often a day that changes while it is planned is planned anew
GIVEN_UP = "The planner was stopped each time before it had finished; ask for the plan again."


@dataclass(frozen=True)
class Step:
    """What made a plan of the one before it, and what hands hold on it from now on."""

    held: Held
    change: CrewPlan.Change = CrewPlan.Change.PLANNED
    before: CrewPlan | None = None


@transaction.atomic
def save_draft(
    day: Workday,
    plan: Plan,
    *,
    by: Person | None,
    solution: Solution | None = None,
    step: Step | None = None,
    rest: Rest | None = None,
) -> CrewPlan:
    """Save a checked plan as the draft of a day in place of the draft before.

    It is judged by the facts as they are now: while a plan was sought, a look may have barred a
    stone. The day is locked, as it is for whoever takes barred jobs off it.
    ``step`` is what a hand did; None: the crews were planned around what is held already.
    ``rest``: how much of the day it is for; None: as much as the plan that is shown.
    Raises Broken, and saves nothing, when the checker finds a rule broken.
    """
    day = locked_day(day.pk)
    before = shown_plan(day)
    rest = rest or rest_shown(before)
    facts = facts_of(day, before, rest)
    if step:
        facts = held_on(facts, plan, step.held)
    else:
        step = Step(plan_and_held(before)[1] if before else Held(), before=before)
    broken = violations(facts, plan)
    if broken:
        raise Broken([violation.sentence for violation in broken])
    day.plans.filter(state=CrewPlan.State.DRAFT).update(state=CrewPlan.State.OLD)
    worth, new = value(facts, plan), against_published(day, plan, facts)
    row = CrewPlan.objects.create(
        day=day,
        made_by=by,
        version=1 + (day.plans.aggregate(last=Max("version"))["last"] or 0),
        change=step.change,
        before=step.before,
        begins_at=rest.since,
        difference=new.lines,
        value=worth.total,
        terms={name: getattr(worth, name) for name in worth.__slots__},
        left_out=left_out(facts, plan),
        **(_origin(solution) if solution else {}),
    )
    _save_crews(row, plan, step.held, new.names)
    _save_held(row, step.held)
    return row


def left_out(facts: DayFacts, plan: Plan) -> dict[str, object]:
    """Return sentences about jobs and people left out, as [id, sentence] pairs.

    ``why`` holds those about jobs once more, each reason once for all jobs that it holds for.
    """
    jobs, people, reasons = [], [], explain(facts, plan)
    for reason in reasons:
        if reason.what == "job":
            jobs.append([reason.id, f"{facts.job[reason.id].label}: {reason.sentence}"])
        else:
            people.append([reason.id, f"{facts.person[reason.id].label}: {reason.sentence}"])
    return {"jobs": jobs, "people": people, "why": grouped(facts, reasons)}


def _origin(solution: Solution) -> dict[str, object]:
    return {
        "seed": solution.seed,
        "rounds": solution.rounds,
        "solver": solution.solver,
        "facts_hash": solution.facts_hash,
        "bound": solution.bound,
        "proved": solution.proved,
    }


def _save_crews(row: CrewPlan, plan: Plan, held: Held, names: Names) -> None:
    blocks = work_blocks(row.day)
    people = {(pin.block, pin.person) for pin in held.people}
    jobs = {pin.job for pin in held.jobs}
    for crew in plan.crews:
        made = Crew.objects.create(
            plan=row,
            block=blocks[crew.block],
            name=names[crew.block, crew.leader],
            lead_id=row_number(crew.leader),
            supervisor_id=row_number(crew.supervisor) if crew.supervisor else None,
            locked=(crew.block, crew.leader) in held.crews,
        )
        Placement.objects.bulk_create(
            Placement(
                crew=made, person_id=row_number(person), pinned=(crew.block, person) in people
            )
            for person in crew.members
        )
        CrewJob.objects.bulk_create(
            CrewJob(
                crew=made,
                job_id=row_number(job.job),
                starts_at=moment_of(row.day, job.start),
                ends_at=moment_of(row.day, job.end),
                pinned=job.job in jobs,
            )
            for job in crew.jobs
        )


def _save_held(row: CrewPlan, held: Held) -> None:
    """Save what is held of no crew: who and what stays out of all of them, pairs kept apart."""
    blocks = work_blocks(row.day)
    out = sorted((pin.block, row_number(pin.person)) for pin in held.people if pin.leader is None)
    StaysOut.objects.bulk_create(
        StaysOut(plan=row, block=blocks[block], person_id=person) for block, person in out
    )
    KeptOut.objects.bulk_create(
        KeptOut(plan=row, job_id=job) for job in sorted(map(row_number, held.off))
    )
    pairs = sorted(sorted((row_number(one), row_number(other))) for one, other in held.apart)
    KeptApart.objects.bulk_create(
        KeptApart(plan=row, one_id=one, other_id=other) for one, other in pairs
    )


def redraft(
    day: Workday,
    *,
    seed: int = 1,
    by: Person | None = None,
    rounds: int = ROUNDS,
    watch: Watch | None = None,
    rest: Rest | None = None,
) -> CrewPlan:
    """Plan a day anew around what is pinned, and save the plan as its draft.

    ``rest``: only what is left of it, going on from the published plan.

    When the day changed meanwhile so that the plan breaks a rule, it is planned anew.
    Raises Broken when that happens each time, Clashing when what is pinned cannot be held,
    NotWanted when the request that ``watch`` serves was stopped or cancelled meanwhile.
    """
    limit = REST_OF_DAY if rest else watch.limit if watch else Limit(rounds=rounds)
    for _ in range(TIMES - 1):
        try:
            return _drafted(day, seed=seed, by=by, limit=limit, watch=watch, rest=rest)
        except Clashing:
            raise
        except Broken:
            limit = watch.limit_of_another if watch else limit
    return _drafted(day, seed=seed, by=by, limit=limit, watch=watch, rest=rest)


def _drafted(
    day: Workday,
    *,
    seed: int,
    by: Person | None,
    limit: Limit,
    watch: Watch | None,
    rest: Rest | None,
) -> CrewPlan:
    """Plan a day by its facts as they are now, and save the plan."""
    shown = shown_plan(day)
    facts = facts_of(day, shown, rest or rest_shown(shown))
    start = facts.before if rest else None
    if watch is None:
        solution = solve(facts, seed=seed, limit=limit, start=start)
    else:
        start = watch.found or start
        solution = solve(facts, seed=seed, limit=limit, start=start, **watch.hears)
        watch.refuse_if_ended()
    if solution.clashes:
        clashes.look_for_a_clash(facts)
    if solution.clashes and rest:
        raise Broken(binding(facts, list(solution.clashes)))
    return _save_of_run(day, solution, by=by, watch=watch, rest=rest)


@transaction.atomic
def _save_of_run(
    day: Workday, solution: Solution, *, by: Person | None, watch: Watch | None, rest: Rest | None
) -> CrewPlan:
    """Save the plan of a request and end the request, both or neither."""
    if watch is None:
        return save_draft(day, solution.plan, by=by, solution=solution, rest=rest)
    locked_day(day.pk)
    watch.refuse_if_ended()
    now = shown_plan(day)
    made = save_draft(day, solution.plan, by=by, solution=solution, rest=rest)
    watch.end(made, version=now.version if now else None)
    return made


def run(plan_run: PlanRun, *, now: datetime) -> None:
    """Carry out one request to plan a day; a second call finds it begun and does nothing.

    A run that a worker left unfinished is begun anew once its claim has lapsed; one that was left
    again and again fails, so that it takes no more workers down.
    """
    if (
        hopeless_runs(now)
        .filter(pk=plan_run.pk)
        .update(state=PlanRun.State.FAILED, finished_at=now, words=GIVEN_UP)
    ):
        return
    mine = free_runs(now).filter(pk=plan_run.pk)
    if mine.update(state=PlanRun.State.RUNNING, started_at=now, seen_at=now) != 1:
        return
    plan_run.refresh_from_db()
    watch = Watch(plan_run, now=now, clock=time.monotonic)
    try:
        _carry_out(plan_run, watch)
    except NotWanted:
        return
    except OperationalError:
        # The database is out of reach: what was found is kept, and a sweep begins it anew.
        raise
    except Broken as broken:
        pins = broken.pins if isinstance(broken, Clashing) else []
        watch.fail(str(broken)[:500], clash=pins)
    except Exception:
        watch.fail("The planner stopped with a fault; the last plan is still there.")
        raise


def _carry_out(plan_run: PlanRun, watch: Watch) -> None:
    """Do what is asked, and keep it."""
    if plan_run.kind == PlanRun.Kind.WHAT_IF:
        watch.done(gains=what_ifs.gains_of(plan_run, tell=watch.steps))
        return
    shown = shown_plan(plan_run.day)
    watch.begin(version=shown.version if shown else None)
    rest = rest_asked(plan_run)
    redraft(plan_run.day, seed=plan_run.seed, by=plan_run.asked_by, watch=watch, rest=rest)
