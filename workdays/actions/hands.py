"""Change a plan by hand: checked at once, made on a version that is named, taken back by undo."""

from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import drafting
from workdays.actions.plans import refuse_shut
from workdays.drafting import Step
from workdays.models import CrewPlan, Workday
from workdays.planner import turns
from workdays.planner.turns import Board, Turn
from workdays.queries.gone import refusals_in_words
from workdays.queries.locking import locked_day
from workdays.queries.plan_keys import job_key, person_key
from workdays.queries.planning import facts_of, rest_shown
from workdays.queries.plans import plan_and_held
from workdays.rules.crew import unknown
from workdays.rules.facts import Violation
from workdays.rules.refusals import Refusal

Change = CrewPlan.Change
STALE = "Somebody changed this plan in the meantime; here it is as it stands now."
NOTHING = "There is no change of this plan to take back."
GONE = (
    "The day has changed since: somebody or some work of the plan before is not on it any more. "
    "Plan the rest again instead."
)


def move_person(
    plan: CrewPlan, person: Person, *, block: int, to: Person | None, version: int, by: Person
) -> CrewPlan:
    """Put somebody into the crew of a lead in a block (None: into no crew), and pin them there.

    Like every change here, it gives the draft that holds it; a published plan stays as it is
    until the next publishing. Raises Refused when the plan was changed meanwhile, or with each
    rule that the change breaks.
    """
    return _hand(
        plan,
        lambda board: turns.move_person(
            board, person=_p(person), block=block, to_leader=_p(to) if to else None
        ),
        Change.PERSON_MOVED,
        {"person": person.pk, "block": block, "to": to.pk if to else None},
        version=version,
        by=by,
    )


def swap_people(
    plan: CrewPlan, one: Person, other: Person, *, block: int, version: int, by: Person
) -> CrewPlan:
    """Let two people change places in a block, and pin both."""
    return _hand(
        plan,
        lambda board: turns.swap_people(board, one=_p(one), other=_p(other), block=block),
        Change.SWAPPED,
        {"person": one.pk, "other": other.pk, "block": block},
        version=version,
        by=by,
    )


def pin_person(
    plan: CrewPlan, person: Person, *, block: int, pinned: bool, version: int, by: Person
) -> CrewPlan:
    """Pin somebody where they are in a block, or take their pin out."""
    turn = turns.pin_person if pinned else turns.unpin_person
    return _hand(
        plan,
        lambda board: turn(board, person=_p(person), block=block),
        Change.PINNED if pinned else Change.UNPINNED,
        {"person": person.pk, "block": block},
        version=version,
        by=by,
    )


def move_job(
    plan: CrewPlan, job: int, *, block: int, to: Person, version: int, by: Person
) -> CrewPlan:
    """Give a job to the crew of a lead as its last of a block, and pin it there."""
    return _hand(
        plan,
        lambda board: turns.move_job(board, job=job_key(job), block=block, to_leader=_p(to)),
        Change.JOB_MOVED,
        {"job": job, "block": block, "to": to.pk},
        version=version,
        by=by,
    )


def shift_job(plan: CrewPlan, job: int, *, places: int, version: int, by: Person) -> CrewPlan:
    """Do a job earlier (-1) or later (1) in its crew."""
    return _hand(
        plan,
        lambda board: turns.shift_job(board, job=job_key(job), by=places),
        Change.JOB_MOVED,
        {"job": job, "places": places},
        version=version,
        by=by,
    )


def take_job_out(plan: CrewPlan, job: int, *, version: int, by: Person) -> CrewPlan:
    """Take a job out of the plan; it stays on the day."""
    return _hand(
        plan,
        lambda board: turns.take_job_out(board, job=job_key(job)),
        Change.JOB_OUT,
        {"job": job},
        version=version,
        by=by,
    )


def pin_job(plan: CrewPlan, job: int, *, pinned: bool, version: int, by: Person) -> CrewPlan:
    """Pin a job to the crew that does it, or take its pin out."""
    turn = turns.pin_job if pinned else turns.unpin_job
    return _hand(
        plan,
        lambda board: turn(board, job=job_key(job)),
        Change.PINNED if pinned else Change.UNPINNED,
        {"job": job},
        version=version,
        by=by,
    )


def lock_crew(
    plan: CrewPlan, lead: Person, *, block: int, locked: bool, version: int, by: Person
) -> CrewPlan:
    """Keep a crew's people and jobs of a block in it, or let them go elsewhere again."""
    turn = turns.lock_crew if locked else turns.unlock_crew
    return _hand(
        plan,
        lambda board: turn(board, block=block, leader=_p(lead)),
        Change.LOCKED if locked else Change.UNLOCKED,
        {"lead": lead.pk, "block": block},
        version=version,
        by=by,
    )


def keep_apart(
    plan: CrewPlan, one: Person, other: Person, *, apart: bool, version: int, by: Person
) -> CrewPlan:
    """Keep two people out of each other's crews on this day, or let them be in one again."""
    turn = turns.keep_apart if apart else turns.let_together
    return _hand(
        plan,
        lambda board: turn(board, one=_p(one), other=_p(other)),
        Change.APART if apart else Change.TOGETHER,
        {"person": one.pk, "other": other.pk},
        version=version,
        by=by,
    )


@transaction.atomic
def undo(plan: CrewPlan, *, version: int, by: Person) -> CrewPlan:
    """Go back to the plan before, with its pins; give the plan that is shown from now on.

    Raises Refused where the day has changed so that the plan before breaks a rule.
    """
    day = _open_day(plan)
    row = _current(plan, version)
    before = row.before
    if before is None:
        raise Refused([Refusal("nothing", NOTHING)])
    before.day = day
    found = turns.stands(_board(day, before))
    if not isinstance(found, Board):
        raise Refused(_gone(found) or refusals_in_words(day, found))
    audit.record(audit.by_login(by), "undid", row, {"day": day.pk, "change": row.change})
    if before.state == CrewPlan.State.PUBLISHED:
        row.state = CrewPlan.State.OLD
        row.save(update_fields=["state", "changed_at"])
        return before
    step = Step(found.held, Change(before.change), before.before)
    return drafting.save_draft(day, found.plan, by=by, step=step, rest=rest_shown(before))


@transaction.atomic
def _hand(
    plan: CrewPlan,
    turn: Turn,
    change: CrewPlan.Change,
    detail: dict[str, Any],
    *,
    version: int,
    by: Person,
) -> CrewPlan:
    """Carry out one change on the plan as it is stored now."""
    day = _open_day(plan)
    row = _current(plan, version)
    row.day = day
    board = _board(day, row)
    # A turn knows only who and what is on the day; the judge would refuse what is left of the plan.
    found = list(unknown(board.facts, board.plan)) or turn(board)
    if not isinstance(found, Board):
        raise Refused(refusals_in_words(day, found))
    made = drafting.save_draft(day, found.plan, by=by, step=Step(found.held, change, row))
    audit.record(audit.by_login(by), change.value, made, {"day": day.pk, **detail})
    return made


def _open_day(plan: CrewPlan) -> Workday:
    day = locked_day(plan.day_id)
    refuse_shut(day)
    return day


def _current(plan: CrewPlan, version: int) -> CrewPlan:
    """Return the plan's row, locked, if it is still the version that was looked at."""
    row = CrewPlan.objects.select_for_update().get(pk=plan.pk)
    if row.version != version or row.state == CrewPlan.State.OLD:
        raise Refused([Refusal("stale", STALE)])
    return row


def _board(day: Workday, row: CrewPlan) -> Board:
    return Board(facts_of(day, row, rest_shown(row)), *plan_and_held(row))


def _p(person: Person) -> str:
    return person_key(person.pk)


def _gone(found: list[Violation]) -> list[Refusal]:
    """Say in one sentence that who or what the plan names is not there any more."""
    return [Refusal("gone", GONE)] if any(one.rule == "unknown" for one in found) else []
