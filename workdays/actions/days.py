"""Make, change and open a workday or a clinic: one machinery, the purpose differs."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import F

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from training.models import Skill
from workdays import booking_mail, companions, invites, opening_mail
from workdays.actions.day_blocks import set_blocks, shift_presence
from workdays.actions.jobs_of_days import take_blocked_off_days
from workdays.models import Booking, Cemetery, Crew, Job, SignUp, Workday
from workdays.queries.locking import locked_day
from workdays.queries.opening import opening_facts
from workdays.queries.places import places
from workdays.rules import day_frame
from workdays.rules.day_frame import DayFrame
from workdays.rules.opening import refusals_to_open
from workdays.rules.refusals import Refusal

LIVE = (
    SignUp.State.UNCONFIRMED,
    SignUp.State.WAITING,
    SignUp.State.OFFERED,
    SignUp.State.COMING,
)

FRAME = frozenset({"starts_at", "ends_at", "meeting_point"})  # what a calendar entry stands on


@dataclass(frozen=True)
class DayWishes:
    """A day as an organiser asks for it: the frame that rules judge, and the words."""

    cemetery: Cemetery
    frame: DayFrame
    meeting_point: str
    teaches: Skill | None = None
    bring: str = ""
    words: str = ""
    teachers: int = 1
    learners_per_teacher: int | None = None


def _values(wishes: DayWishes, now: datetime) -> dict[str, Any]:
    """Return the columns of a day without refusals."""
    frame = wishes.frame
    starts_at, ends_at = day_frame.times(frame)
    purpose = Workday.Purpose.CLINIC if frame.is_clinic else Workday.Purpose.WORKDAY
    return {
        "cemetery": wishes.cemetery,
        "purpose": purpose,
        "teaches": wishes.teaches if frame.is_clinic else None,
        "starts_at": starts_at,
        "ends_at": ends_at,
        "rain_on": frame.rain_on,
        "cut_off_at": day_frame.deadline(frame, frame.cut_off, now=now),
        "call_by_at": day_frame.deadline(frame, frame.call_by, now=now),
        "meeting_point": wishes.meeting_point,
        "capacity": frame.capacity,
        "fewest_people": frame.fewest,
        "bring": wishes.bring,
        "words": wishes.words,
        "teachers": wishes.teachers,
        "learners_per_teacher": wishes.learners_per_teacher,
        "equipment": {key: count for key, count in frame.equipment.items() if count},
    }


@transaction.atomic
def make_day(wishes: DayWishes, *, by: Person, now: datetime) -> Workday:
    """Make a day that is not open yet. Raises Refused."""
    refuse(day_frame.refusals(wishes.frame, now=now))
    day = Workday.objects.create(**_values(wishes, now))
    set_blocks(day, day_frame.blocks(wishes.frame))
    audit.record(
        audit.by_login(by), "made", day, {"purpose": day.purpose, "starts_at": _iso(day.starts_at)}
    )
    return day


@transaction.atomic
def change_day(day_id: int, wishes: DayWishes, *, by: Person, now: datetime) -> Workday:
    """Change a day before it begins.

    A new time or place goes to everybody who comes as a new state of the invite, with a higher
    SEQUENCE; a change of words leaves SEQUENCE as it is. Jobs that may not be done on the new
    date leave the day. Raises Refused.
    """
    day = locked_day(day_id)
    refuse(_refusals_to_change(day, wishes, now))
    old_start, old_cut_off = day.starts_at, day.cut_off_at
    values = _values(wishes, now)
    changed = {name: value for name, value in values.items() if getattr(day, name) != value}
    for name, value in changed.items():
        setattr(day, name, value)
    if changed:
        day.save(update_fields=[*changed, "changed_at"])
    set_blocks(day, day_frame.blocks(wishes.frame))
    shift_presence(day, old_start=old_start, new_start=day.starts_at)
    companions.hold_until_cut_off(day, was=old_cut_off, now=now)
    moved = bool(FRAME & set(changed))
    if moved:
        _reschedule(day, old_start)
        take_blocked_off_days(Job.objects.filter(days=day), by=by, now=now)
    audit.record(audit.by_login(by), "changed", day, {"fields": sorted(changed)})
    if changed and day.state == Workday.State.OPEN:
        invites.invite_all(day, now=now, rescheduled=moved)
    return day


def _reschedule(day: Workday, old_start: datetime) -> None:
    """Raise SEQUENCE of the public entry; a new date asks those who come once more."""
    Workday.objects.filter(pk=day.pk).update(sequence=F("sequence") + 1)
    day.refresh_from_db(fields=["sequence"])
    zone = day.cemetery.zone
    if day.starts_at.astimezone(zone).date() != old_start.astimezone(zone).date():
        SignUp.objects.filter(day=day, state=SignUp.State.COMING).update(question_open=True)


def _refusals_to_change(day: Workday, wishes: DayWishes, now: datetime) -> list[Refusal]:
    if day.state in (Workday.State.CALLED_OFF, Workday.State.CLOSED):
        return [Refusal("day_over", f"This day is {day.get_state_display()}: it stays as it is.")]
    if day.starts_at <= now:
        return [Refusal("day_begun", "This day has begun: it stays as it is.")]
    found = day_frame.refusals(wishes.frame, now=now)
    taken = places(day, now=now).taken
    if wishes.frame.capacity < taken:
        found.append(Refusal("capacity", f"{taken} places are taken already; take no fewer."))
    if wishes.cemetery.pk != day.cemetery_id and _is_tied(day):
        sentence = (
            f"People, jobs or crews belong to this day at {day.cemetery}: "
            "make a new day for another place."
        )
        found.append(Refusal("cemetery_fixed", sentence))
    return found


def _is_tied(day: Workday) -> bool:
    """Return whether something belongs to the day that another place would break."""
    signed_up = SignUp.objects.filter(day=day, state__in=LIVE).exists()
    return signed_up or day.jobs.exists() or Crew.objects.filter(plan__day=day).exists()


@transaction.atomic
def open_day(day_id: int, *, by: Person, now: datetime) -> Workday:
    """Open a day for sign-up. Raises Refused without the owner's leave or a waiver to sign."""
    day = locked_day(day_id)
    refuse(refusals_to_open(opening_facts(day, now)))
    day.state = Workday.State.OPEN
    day.save(update_fields=["state", "changed_at"])
    wishes = opening_mail.tell_opened(day)
    audit.record(audit.by_login(by), "opened", day, {"asked_to_hear": wishes})
    asked_for = Booking.objects.filter(day=day).select_related("host", "skill", "day__cemetery")
    for booking in asked_for:
        booking_mail.tell_opened(booking)
    return day


def _iso(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")
