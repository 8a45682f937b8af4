"""Stop a request to plan and keep what it has found, or cancel it and keep the plan of before."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays import drafting
from workdays.actions.plans import refuse_shut
from workdays.models import CrewPlan, PlanRun, Workday
from workdays.planner.solve import Solution
from workdays.planner.version import VERSION
from workdays.planner.writing import facts_hash
from workdays.queries.gone import refusals_in_words
from workdays.queries.locking import locked_day
from workdays.queries.plan_runs import found_plan
from workdays.queries.planning import facts_of, rest_asked, rest_shown
from workdays.queries.plans import shown_plan
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan
from workdays.rules.refusals import Refusal, sentences

State = PlanRun.State
GONE = "That planning is not there any more; here is the day as it stands now."
FINISHED = "The planning had finished already; this is its plan. Nothing was changed."
ENDED = "That planning had ended already. Nothing was changed."
NOTHING_YET = "No plan was found yet, so there is none to keep. Wait a moment, or cancel."
NO_LONGER = (
    "The day has changed, and the plan found so far does not hold any more: {why} "
    "Nothing was changed; plan again, or wait where the planner is still at it."
)


@transaction.atomic
def keep_found(day: Workday, *, run: int, by: Person, now: datetime) -> CrewPlan:
    """End a request with the best plan it has found so far, which becomes the draft.

    Works too where no worker is at it any more, and on a request that failed. Raises Refused
    where there is nothing to keep, or the plan found breaks a rule of the day as it is now.
    """
    row = _locked(day, run)
    plan = found_plan(row)
    refuse(_nothing_to_keep(row, plan))
    shown, rest = shown_plan(row.day), rest_asked(row)
    facts = facts_of(row.day, shown, rest or rest_shown(shown))
    if broken := violations(facts, plan):
        why = " ".join(sentences(refusals_in_words(row.day, broken))[:2])
        refuse([Refusal("no-longer", NO_LONGER.format(why=why))])
    solution = _solution(row, facts, plan)
    made = drafting.save_draft(row.day, plan, by=by, solution=solution, rest=rest)
    _end(row, State.DONE, now, plan=made, value=made.value)
    audit.record(audit.by_login(by), "stopped the planning", made, {"day": day.pk, "run": row.pk})
    return made


def _nothing_to_keep(row: PlanRun, plan: Plan) -> list[Refusal]:
    if row.state == State.DONE:
        return [Refusal("finished", FINISHED)]
    if row.state == State.CANCELLED or (row.state == State.FAILED and not plan.crews):
        return [Refusal("ended", ENDED)]
    return [] if row.found else [Refusal("nothing-yet", NOTHING_YET)]


def _solution(row: PlanRun, facts: DayFacts, plan: Plan) -> Solution:
    """Return what a request has found so far as the search would have given it at its end."""
    worth = value(facts, plan)
    return Solution(
        plan=plan,
        value=worth,
        bound=None if row.bound is None else max(row.bound, worth.total),
        proved=row.bound == worth.total,
        seed=row.seed,
        rounds=row.tries,
        solver=VERSION,
        facts_hash=facts_hash(facts),
        trail=(),
    )


@transaction.atomic
def cancel_run(day: Workday, *, run: int, by: Person, now: datetime) -> None:
    """End a request; the plan that was there before stays. Raises Refused where it has ended."""
    row = _locked(day, run)
    if row.state == State.DONE:
        refuse([Refusal("finished", FINISHED)])
    if not row.is_open:
        refuse([Refusal("ended", ENDED)])
    _end(row, State.CANCELLED, now)
    audit.record(audit.by_login(by), "cancelled the planning", row.day, {"run": row.pk})


def _locked(day: Workday, run: int) -> PlanRun:
    """Return a request of a day, both locked; raises Refused where it is none of this day's."""
    here = locked_day(day.pk)
    refuse_shut(here)
    rows = PlanRun.objects.select_for_update().filter(kind=PlanRun.Kind.PLAN, day=here, pk=run)
    row = rows.first()
    if row is None:
        raise Refused([Refusal("gone", GONE)])
    row.day = here
    return row


def _end(row: PlanRun, state: PlanRun.State, now: datetime, **values: object) -> None:
    ended = {"state": state, "finished_at": now, "found": {}, **values}
    PlanRun.objects.filter(pk=row.pk).update(**ended)
