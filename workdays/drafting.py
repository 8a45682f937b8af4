"""The planner's run: gather the facts, solve, check, save a draft."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Max, QuerySet

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
from workdays.planner.held import Held, held_on
from workdays.planner.solve import Limit, Progress, Solution, solve
from workdays.queries.blocks import work_blocks
from workdays.queries.locking import locked_day
from workdays.queries.plan_runs import free_runs, hopeless_runs
from workdays.queries.planning import moment_of, planning_facts
from workdays.queries.plans import crew_names, plan_and_held, shown_plan
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan

# Enough for a proof on a small day and for a good plan of forty people; measured in rounds, so
# that the same day and seed give the same plan on any machine.
ROUNDS = 100_000
TIMES = 3  # so often a day that changes while it is planned is planned anew
GIVEN_UP = "The planner was stopped each time before it had finished; ask for the plan again."


def number(key: str) -> int:
    """Return the row's number from its id in the facts of a plan."""
    return int(key[1:])


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
) -> CrewPlan:
    """Save a checked plan as the draft of a day in place of the draft before.

    It is judged by the facts as they are now: while a plan was sought, a look may have barred a
    stone. The day is locked, as it is for whoever takes barred jobs off it.
    ``step`` is what a hand did; None: the crews were planned around what is held already.
    Raises Broken, and saves nothing, when the checker finds a rule broken.
    """
    day = locked_day(day.pk)
    facts, before = planning_facts(day), shown_plan(day)
    if step:
        facts = held_on(facts, plan, step.held)
    else:
        step = Step(plan_and_held(before)[1] if before else Held(), before=before)
    broken = violations(facts, plan)
    if broken:
        raise Broken([violation.sentence for violation in broken])
    day.plans.filter(state=CrewPlan.State.DRAFT).update(state=CrewPlan.State.OLD)
    worth = value(facts, plan)
    row = CrewPlan.objects.create(
        day=day,
        made_by=by,
        version=1 + (day.plans.aggregate(last=Max("version"))["last"] or 0),
        change=step.change,
        before=step.before,
        value=worth.total,
        terms={name: getattr(worth, name) for name in worth.__slots__},
        left_out=left_out(facts, plan),
        **(_origin(solution) if solution else {}),
    )
    _save_crews(row, plan, step.held)
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


def _save_crews(row: CrewPlan, plan: Plan, held: Held) -> None:
    blocks = work_blocks(row.day)
    names = crew_names(plan)
    people = {(pin.block, pin.person) for pin in held.people}
    jobs = {pin.job for pin in held.jobs}
    for crew in plan.crews:
        made = Crew.objects.create(
            plan=row,
            block=blocks[crew.block],
            name=names[crew.block, crew.leader],
            lead_id=number(crew.leader),
            supervisor_id=number(crew.supervisor) if crew.supervisor else None,
            locked=(crew.block, crew.leader) in held.crews,
        )
        Placement.objects.bulk_create(
            Placement(crew=made, person_id=number(person), pinned=(crew.block, person) in people)
            for person in crew.members
        )
        CrewJob.objects.bulk_create(
            CrewJob(
                crew=made,
                job_id=number(job.job),
                starts_at=moment_of(row.day, job.start),
                ends_at=moment_of(row.day, job.end),
                pinned=job.job in jobs,
            )
            for job in crew.jobs
        )


def _save_held(row: CrewPlan, held: Held) -> None:
    """Save what is held of no crew: who and what stays out of all of them, pairs kept apart."""
    blocks = work_blocks(row.day)
    out = sorted((pin.block, number(pin.person)) for pin in held.people if pin.leader is None)
    StaysOut.objects.bulk_create(
        StaysOut(plan=row, block=blocks[block], person_id=person) for block, person in out
    )
    KeptOut.objects.bulk_create(
        KeptOut(plan=row, job_id=job) for job in sorted(map(number, held.off))
    )
    pairs = sorted(sorted((number(one), number(other))) for one, other in held.apart)
    KeptApart.objects.bulk_create(
        KeptApart(plan=row, one_id=one, other_id=other) for one, other in pairs
    )


def redraft(
    day: Workday,
    *,
    seed: int = 1,
    by: Person | None = None,
    rounds: int = ROUNDS,
    progress: Callable[[Progress], None] | None = None,
) -> CrewPlan:
    """Plan a day anew around what is pinned, and save the plan as its draft.

    When the day changed meanwhile so that the plan breaks a rule, it is planned anew.
    Raises Broken when that happens each time, Clashing when what is pinned cannot be held.
    """

    def once() -> CrewPlan:
        facts = planning_facts(day)
        solution = solve(facts, seed=seed, limit=Limit(rounds=rounds), progress=progress)
        if solution.clashes:
            clashes.look_for_a_clash(facts)
        return save_draft(day, solution.plan, by=by, solution=solution)

    for _again in range(TIMES - 1):
        try:
            return once()
        except Clashing:
            raise
        except Broken:
            continue
    return once()


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
    if mine.update(state=PlanRun.State.RUNNING, started_at=now) != 1:
        return
    plan_run.refresh_from_db()

    try:
        found = _carry_out(plan_run)
    except Broken as broken:
        pins = broken.pins if isinstance(broken, Clashing) else []
        _end(plan_run, now, PlanRun.State.FAILED, words=str(broken)[:500], clash=pins)
        return
    except Exception:
        said = "The planner stopped with a fault; the last plan is still there."
        _end(plan_run, now, PlanRun.State.FAILED, words=said)
        raise
    _end(plan_run, now, PlanRun.State.DONE, **found)


def _carry_out(plan_run: PlanRun) -> dict[str, object]:
    """Do what is asked; return what to keep with the request."""
    claimed = _claimed(plan_run)
    if plan_run.kind == PlanRun.Kind.WHAT_IF:
        return {"gains": what_ifs.gains_of(plan_run, tell=lambda **steps: claimed.update(**steps))}

    def tell(step: Progress) -> None:
        claimed.update(value=step.value.total)

    plan = redraft(plan_run.day, seed=plan_run.seed, by=plan_run.asked_by, progress=tell)
    return {"plan": plan, "value": plan.value, "bound": plan.bound}


def _claimed(plan_run: PlanRun) -> "QuerySet[PlanRun]":
    """Return the row while this claim on it holds; another's later claim has its own moment."""
    return PlanRun.objects.filter(
        pk=plan_run.pk, state=PlanRun.State.RUNNING, started_at=plan_run.started_at
    )


def _end(plan_run: PlanRun, now: datetime, state: PlanRun.State, **values: object) -> None:
    _claimed(plan_run).update(state=state, finished_at=now, **values)
