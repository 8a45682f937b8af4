"""The weather call: keep a forecast, decide for a day, and everything that follows from it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import F

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import booking_mail, companions, invites
from workdays.actions.call_plans import cut_blocks, cut_crew_jobs, retire_plans
from workdays.actions.day_blocks import set_blocks, shift_presence
from workdays.actions.jobs_of_days import take_blocked_off_days
from workdays.call_notices import tell_call, tell_call_again, told_before
from workdays.forecasts.sources import as_rows
from workdays.models import Booking, Call, Forecast, Job, SignUp, Workday
from workdays.queries.calls import day_to_call, newest_told, page_token
from workdays.queries.locking import locked_day
from workdays.queries.opening import opening_facts
from workdays.queries.weather import counting_forecast
from workdays.rules import calls
from workdays.rules.calls import DayToCall, Decided
from workdays.rules.opening import permission_refusals
from workdays.rules.refusals import Refusal
from workdays.rules.weather import HourFacts
from workdays.rules.weather_call import Decision

STALE = (
    "The day changed since you opened this page, or somebody else decided or entered a forecast. "
    "Look at it again, then decide."
)


@dataclass(frozen=True)
class CallWish:
    """A decision as somebody asks for it.

    ``tell``: tell everybody that the day stands. ``seen``: the token of the page it was decided
    on; empty where no page was looked at.
    """

    decided: Decided
    tell: bool = False
    seen: str = ""


@dataclass(frozen=True)
class Outcome:
    """What a decision came to: how many were told, and whether a published plan fell."""

    call: Call
    told: int = 0
    plan_fell: bool = False
    repeated: bool = False


@transaction.atomic
def keep_forecast(
    day_id: int, hours: Sequence[HourFacts], *, source: str, by: Person, now: datetime
) -> Forecast:
    """Keep a forecast as a new row: the newest counts. Raises Refused for a day that is over."""
    day = locked_day(day_id)
    if day.ends_at <= now or day.state in (Workday.State.CALLED_OFF, Workday.State.CLOSED):
        raise Refused(
            [Refusal("day_over", "This day is over or called off: no forecast any more.")]
        )
    forecast = Forecast.objects.create(day=day, source=source, hours=as_rows(hours), entered_by=by)
    audit.record(audit.by_login(by), "kept a forecast", forecast, {"day": day.pk, "source": source})
    return forecast


@transaction.atomic
def decide(day_id: int, wish: CallWish, *, by: Person, now: datetime) -> Outcome:
    """Decide for a day; who is concerned gets calendar mail and a notice. Raises Refused.

    The same decision pressed twice is written once.
    """
    day = locked_day(day_id)
    last = day.calls.first()
    if wish.seen and wish.seen != page_token(day):
        if last and (last.decision, last.by_id) == (wish.decided.decision, by.pk):
            return Outcome(last, repeated=True)
        raise Refused([Refusal("stale", STALE)])
    facts = day_to_call(day)
    refusals = _refusals(day, facts, wish.decided, now)
    if refusals:
        raise Refused(refusals)
    before = _iso(day.starts_at), _iso(day.ends_at)
    forecast = counting_forecast(day)
    plan_fell = _change(day, facts, wish.decided, by=by, now=now)
    call = Call.objects.create(
        day=day,
        decision=wish.decided.decision,
        reason=wish.decided.reason,
        forecast=forecast,
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        by=by,
    )
    detail = {"decision": call.decision, "before": before, "reason": call.reason, "call": call.pk}
    after = {"starts_at": _iso(day.starts_at), "ends_at": _iso(day.ends_at)}
    audit.record(audit.by_login(by), "decided", day, detail | after)
    return Outcome(call, _tell(call, day, wish, now), plan_fell)


@transaction.atomic
def tell_again(day_id: int, *, by: Person, now: datetime) -> int:
    """Mail the newest notice once more to those who have not seen it; return how many."""
    day = locked_day(day_id)
    call = newest_told(day)
    count = tell_call_again(call, day, now=now) if call else 0
    if call and count:
        audit.record(audit.by_login(by), "told again", call, {"day": day.pk, "people": count})
    return count


def _refusals(day: Workday, facts: DayToCall, wish: Decided, now: datetime) -> list[Refusal]:
    found = calls.refusals_to_decide(facts, wish, now=now)
    if found or wish.decision is not Decision.MOVED or facts.rain_on is None:
        return found
    return list(permission_refusals(opening_facts(day, now, on=facts.rain_on)))


def _change(day: Workday, facts: DayToCall, wish: Decided, *, by: Person, now: datetime) -> bool:
    """Do to the day what was decided; return whether a published plan fell."""
    if wish.decision is Decision.SHORTENED:
        return _shorten(day, facts, wish, by=by, now=now)
    if wish.decision is Decision.MOVED:
        _move(day, facts, now=now)
        take_blocked_off_days(Job.objects.filter(days=day), by=by, now=now)
    if wish.decision is Decision.CALLED_OFF:
        day.state = Workday.State.CALLED_OFF
        _save(day, "state")
    if wish.decision is Decision.STANDS:
        return False
    return retire_plans(day, actor=audit.by_login(by), why=wish.decision)


def _shorten(day: Workday, facts: DayToCall, wish: Decided, *, by: Person, now: datetime) -> bool:
    """Give the day its new hours; a plan not begun falls when jobs of it lie outside."""
    assert wish.span is not None  # noqa: S101  # the rules refuse it
    actor, begun = audit.by_login(by), day.starts_at <= now
    blocks = list(day.blocks.order_by("starts_at", "pk"))
    lost = cut_blocks(day, blocks, calls.shortened(facts.blocks, wish.span), actor=actor)
    day.starts_at, day.ends_at = wish.span.starts_at, wish.span.ends_at
    _save(day, "starts_at", "ends_at")
    if not lost:
        return False
    if begun:
        cut_crew_jobs(day, ends_at=day.ends_at)
        return False
    return retire_plans(day, actor=actor, why=wish.decision)


def _move(day: Workday, facts: DayToCall, *, now: datetime) -> None:
    """Put the day on its rain date; who was coming keeps the place with an open question."""
    assert facts.rain_on is not None  # noqa: S101  # the rules refuse it
    moved = calls.moved(facts, facts.rain_on, now=now)
    old_start, old_cut_off = day.starts_at, day.cut_off_at
    day.moved_from, day.rain_on = facts.window.starts_at.date(), None
    day.starts_at, day.ends_at = moved.starts_at, moved.ends_at
    day.cut_off_at = day.call_by_at = moved.deadline_at
    _save(day, "moved_from", "rain_on", "starts_at", "ends_at", "cut_off_at", "call_by_at")
    set_blocks(day, moved.blocks)
    shift_presence(day, old_start=old_start, new_start=day.starts_at)
    SignUp.objects.filter(day=day, state=SignUp.State.COMING).update(question_open=True)
    companions.hold_until_cut_off(day, was=old_cut_off, now=now)


def _save(day: Workday, *fields: str) -> None:
    """Write columns of a day and raise SEQUENCE of its public entry."""
    day.save(update_fields=[*fields, "changed_at"])
    Workday.objects.filter(pk=day.pk).update(sequence=F("sequence") + 1)
    day.refresh_from_db(fields=["sequence"])


def _tell(call: Call, day: Workday, wish: CallWish, now: datetime) -> int:
    """Send calendar mail first, then notices; return how many people have one."""
    decision = wish.decided.decision
    if decision is Decision.STANDS and not (wish.tell and told_before(day)):
        return 0
    if decision is Decision.CALLED_OFF:
        invites.cancel_all(day, reason=call.reason, now=now)
    elif decision is not Decision.STANDS:
        invites.invite_all(day, now=now, rescheduled=decision is Decision.MOVED)
    for booking in Booking.objects.filter(day=day).select_related("host", "skill", "day__cemetery"):
        booking_mail.tell_call(booking, call)
    return len(tell_call(call, day, now=now))


def _iso(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")
