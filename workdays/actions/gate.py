"""Add somebody at the gate, signed on the device; give a place by hand, over capacity too."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db import transaction

from coordinator import audit
from coordinator.humans import is_same
from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused, refuse
from workdays import companions, invites, letters, waiting_list
from workdays.actions.replanning import plan_again
from workdays.actions.roll import note_arrival
from workdays.actions.sign_ups import Contact, Wishes
from workdays.actions.signing import Act, confirm, sign
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries import by_hand, sign_ups, waivers
from workdays.queries.days import local_date
from workdays.queries.gate import guardians, places_wanted, room_of
from workdays.queries.locking import locked_day
from workdays.rules import eligibility, gate
from workdays.rules.affirming import affirmed_for_either
from workdays.rules.refusals import Refusal
from workdays.rules.roll import EARLY, refusals_shut
from workdays.rules.signed_text import same_name
from workdays.rules.young_people import rules_in

State = SignUp.State
ADDED = "added at the gate"


@dataclass(frozen=True)
class Ward:
    """What is said of a minor at the gate; the guardian signs. ``agrees``: the child's own yes."""

    born_on: date
    guardian: Person | None
    relation: str
    agrees: bool


@dataclass(frozen=True)
class WalkUp:
    """Somebody at the gate as it was typed. ``press``: one for each time the page was opened.

    ``known``: somebody chosen from those who were there before. ``reason``: why over capacity.
    """

    name: str
    email: str
    contact: Contact
    wishes: Wishes
    typed_name: str
    text_sha256: str
    press: str
    reason: str = ""
    known: Person | None = None
    ward: Ward | None = None


@transaction.atomic
def walk_up(day_id: int, comer: WalkUp, *, by: Person, organises: bool, now: datetime) -> SignUp:
    """Add somebody to a day and, once the roll is open, note that they came. Raises Refused.

    Whom they had brought onto the list has a place with them. Pressed twice it adds nobody twice.
    What was signed before and holds is not asked again.
    """
    day = locked_day(day_id)
    if done := _pressed_before(day, comer):
        return done
    rows = waiting_list.lapse(day, now=now)
    texts = waivers.texts_to_sign(day.cemetery)
    waiver = waivers.text_with(texts, comer.text_sha256)
    if not texts:
        raise Refused([Refusal("no-waiver", "There is no waiver to sign yet: publish one first.")])
    earlier = _live(rows, comer.known)
    lacks = 1 if earlier is None else places_wanted(earlier, now=now)
    others = [row for row in rows if row != earlier] if lacks else rows
    room, told = room_of(day, others, now=now), _told(day, comer, waiver, lacks)
    frame = gate.Gate(
        day.state, day.ends_at, local_date(day), day.cemetery.adult_age, room, organises
    )
    refuse(gate.refusals_to_add(frame, told, now=now))
    over = room.free < lacks
    row = _row(day, earlier, comer, now)
    signature = None if told.signed or waiver is None else _sign(row, waiver, comer, now)
    _note(row, comer, by, signature, now)
    if over:
        _note_by_hand(row, by, comer.reason, room)
    if signature:
        letters.copy_of_waiver(row, signature, proven=comer.known is not None)
    companions.follow(row, now=now)
    if now < day.starts_at:
        invites.invite(day, row.person.email, now=now)
        plan_again(day)  # later it is asked for from the roll, with those who are here
    return row


@transaction.atomic
def place_by_hand(sign_up_id: int, *, reason: str, by: Person, now: datetime) -> SignUp:
    """Give a place to somebody who waits or has not answered, and to whom they brought along.

    Over capacity with a reason. Given twice it stays as it is. Raises Refused.
    """
    day = locked_day(SignUp.objects.values_list("day_id", flat=True).get(pk=sign_up_id))
    waiting_list.lapse(day, now=now)
    row = SignUp.objects.select_related("person").get(pk=sign_up_id)
    row.day = day
    if row.state == State.COMING:
        return row
    rows = sign_ups.live_rows(day)
    room = room_of(day, [other for other in rows if other.pk != row.pk], now=now)
    people = places_wanted(row, now=now)
    refuse([*_refusals_to_place(row, now), *_of_room(room, people, reason)])
    over = bool(_of_room(room, people, ""))
    was, row.state, row.held_until = row.state, State.COMING, None
    row.save(update_fields=["state", "held_until", "changed_at"])
    if over:
        _note_by_hand(row, by, reason, room)
    else:
        audit.record(audit.by_login(by), "gave a place", row, {"day": day.pk, "was": was})
    companions.follow(row, now=now)
    invites.invite(day, row.person.email, now=now)
    plan_again(day)
    return row


def _of_room(room: gate.Room, people: int, reason: str) -> list[Refusal]:
    return gate.refusals_of_room(room, organises=True, reason=reason, people=people)


def _refusals_to_place(row: SignUp, now: datetime) -> list[Refusal]:
    found = refusals_shut(row.day.state)
    if row.state not in eligibility.LIVE:
        found.append(Refusal("gone", "This sign-up is withdrawn or lapsed: sign up again."))
    if now >= row.day.ends_at:
        found.append(Refusal("over", "This day is over."))
    if first := sign_ups.waits_for(row):
        sentence = f"{row.person.name} comes with {first.name}: give {first.name} the place."
        found.append(Refusal("comes-with", sentence))
    elif row.person.is_provisional:
        found.append(
            Refusal(
                "provisional",
                f"{row.person.name} has not answered the mailed link, so nothing is signed yet. "
                "Ask them to press it, or add them at the gate.",
            )
        )
    return found


def _pressed_before(day: Workday, comer: WalkUp) -> SignUp | None:
    entry = AuditEntry.objects.filter(
        verb=ADDED, thing_type="signup", detail__day=day.pk, detail__press=comer.press
    ).first()
    if entry is None:
        return None
    row = SignUp.objects.select_related("person").filter(pk=entry.thing_id).first()
    same = row is not None and same_name(row.person.name, comer.name)
    return row if same else None


def _live(rows: list[SignUp], known: Person | None) -> SignUp | None:
    return next((row for row in rows if known and is_same(row.person, known)), None)


def _told(day: Workday, comer: WalkUp, waiver: Waiver | None, lacks: int) -> gate.Comer:
    known, ward = comer.known, comer.ward
    there = {person.pk for person in guardians(day)} if ward else set()
    child = None
    if ward:
        stands = ward.guardian is not None and ward.guardian.pk in there
        guardian = ward.guardian.name if ward.guardian and stands else ""
        child = gate.Child(ward.born_on, guardian, ward.relation, ward.agrees)
    return gate.Comer(
        name=comer.name,
        typed_name=comer.typed_name,
        lacks=lacks,
        signed=known is not None and bool(waivers.people_with_waiver(day, [known.pk])),
        text_current=waiver is not None,
        reason=comer.reason,
        born_on=known.born_on if known else None,
        child=child,
    )


def _person(comer: WalkUp, now: datetime) -> Person:
    ward, known = comer.ward, comer.known
    values: dict[str, object] = {
        "emergency_name": comer.contact.emergency_name,
        "emergency_telephone": comer.contact.emergency_telephone,
        "languages": comer.wishes.languages,
        "is_adult": ward is None,
    }
    if comer.contact.telephone:
        values["telephone"] = comer.contact.telephone
    if ward:
        values["born_on"] = ward.born_on
    if known is None:
        email = comer.email or (ward.guardian.email if ward and ward.guardian else "")
        return Person.objects.create(name=comer.name, email=email, confirmed_at=now, **values)
    values["confirmed_at"] = known.confirmed_at or now
    for name, value in values.items():
        setattr(known, name, value)
    known.save(update_fields=[*values])
    return known


def _row(day: Workday, earlier: SignUp | None, comer: WalkUp, now: datetime) -> SignUp:
    row = earlier or SignUp(day=day)
    row.day, row.person = day, _person(comer, now)
    row.state, row.held_until, row.question_open = State.COMING, None, False
    row.guardian = comer.ward.guardian if comer.ward else None
    for name in ("experience", "cannot_lift", "cannot_kneel", "cannot_stand_long", "languages"):
        setattr(row, name, getattr(comer.wishes, name))
    if row.pk is None:
        row.save()
        return row
    row.save(
        update_fields=[
            *("state", "held_until", "question_open", "guardian", "experience", "languages"),
            *("cannot_lift", "cannot_kneel", "cannot_stand_long", "changed_at"),
        ]
    )
    return row


def _sign(row: SignUp, waiver: Waiver, comer: WalkUp, now: datetime) -> Signature:
    """Store what was signed on the device; for a minor the child's own yes to the rules too."""
    ward, roles = comer.ward, Signature.Role
    guardian = ward.guardian if ward else None
    _language, yes = affirmed_for_either(waiver.language)
    act = Act(yes, gate.METHOD, comer.typed_name, waiver.text)
    if ward and guardian:
        act = replace(act, role=roles.GUARDIAN, relation=ward.relation)
        rules = rules_in(waiver.language)
        agreed = Act(
            rules.agreed, gate.METHOD, comer.name, rules.text, roles.MINOR, language=rules.language
        )
        confirm(sign(row, waiver, agreed, by=row.person, now=now), now=now)
    return confirm(sign(row, waiver, act, by=guardian or row.person, now=now), now=now)


def _note(
    row: SignUp, comer: WalkUp, by: Person, signature: Signature | None, now: datetime
) -> None:
    """Write who was added, by whose device, what was signed; and the arrival if it is the day."""
    detail: dict[str, object] = {"day": row.day_id, "press": comer.press}
    if signature:
        detail["signature"] = signature.pk
    audit.record(audit.by_login(by), ADDED, row, detail)
    if now >= row.day.starts_at - EARLY:
        note_arrival(row.day, row.person, at=now, by=by)


def _note_by_hand(row: SignUp, by: Person, why: str, room: gate.Room) -> None:
    detail = {"day": row.day_id, "why": why, "taken": room.taken, "capacity": room.capacity}
    audit.record(audit.by_login(by), by_hand.VERB, row, detail)
