"""Sign up for a day: one adult, one form, one signature; with whom they bring along."""

from dataclasses import dataclass, field
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays import companions, invites, letters, waiting_list
from workdays.actions.bringing import Signing, bring, is_same_again
from workdays.actions.replanning import plan_again
from workdays.actions.signing import METHOD, Act, sign
from workdays.models import Party, Signature, SignUp, Waiver, Workday
from workdays.queries import days, sign_ups, waivers
from workdays.queries.locking import locked_day
from workdays.queries.signatures import is_minor_on
from workdays.queries.teaching import teaching_of
from workdays.rules import eligibility, groups, parties
from workdays.rules.affirming import affirmed
from workdays.rules.refusals import Refusal
from workdays.rules.teaching import Teaching


@dataclass(frozen=True)
class Contact:
    """How to reach a person, and whom to call if something happens to them."""

    telephone: str
    emergency_name: str
    emergency_telephone: str


@dataclass(frozen=True)
class Wishes:
    """What somebody can and wants to do on a day; None for from and to: the whole day."""

    experience: dict[str, str] = field(default_factory=dict)
    wishes_id: int | None = None
    cannot_lift: bool = False
    cannot_kneel: bool = False
    cannot_stand_long: bool = False
    languages: list[str] = field(default_factory=list)
    comes_at: datetime | None = None
    leaves_at: datetime | None = None
    brings: dict[str, int] = field(default_factory=dict)
    seats_offered: int = 0
    seats_wanted: int = 0
    seats_from: str = ""
    words: str = ""


@dataclass(frozen=True)
class Application:
    """One adult's sign-up as it was typed; ``text_sha256`` is that of the text on the page."""

    name: str
    email: str
    contact: Contact
    wishes: Wishes
    is_adult: bool
    typed_name: str
    text_sha256: str
    companions: tuple[parties.Companion, ...] = ()


@transaction.atomic
def sign_up(
    day_id: int,
    application: Application,
    *,
    now: datetime,
    person: Person | None = None,
    group: str = "",
) -> SignUp:
    """Take one adult's sign-up: a place held until "yes", or a place on the waiting list.

    Whoever they bring along has places together with them, or waits together.

    ``person`` None: a stranger, for whom a new provisional Person is made whatever the mailbox;
    else somebody who came by their own link and needs no further "yes". ``group``: the secret of a
    share link, whose held places are taken. Raises Refused.
    """
    day = locked_day(day_id)
    rows = waiting_list.lapse(day, now=now)
    texts = waivers.texts_to_sign(day.cemetery)
    waiver = waivers.text_with(texts, application.text_sha256)
    teaching = teaching_of(day, rows, *([person.pk] if person else []))
    facts = sign_ups.open_day(day, teaching)
    earlier = sign_ups.earlier_state(rows, person)
    refuse(
        [
            *_refusals(facts, application, texts, earlier, now, of_age=_of_age(day, person)),
            *_refusals_unsigned(day, application, person),
            *_refusals_of_party(day, application, person, rows),
        ]
    )
    assert waiver is not None  # noqa: S101  # the rules refuse a sign-up without one
    if again := _sent_twice(rows, application):
        return again
    row = _row(day, _person(application, person), application.wishes)
    people = _People(1 + len(application.companions), person)
    line = sign_ups.in_line(rows, teaching)
    row.state = _place(facts, line, people, teaching, now=now, group=group)
    row.party = _from_group(day, group, people.count, now) if group else None
    row.held_until = None if person else eligibility.held_until(facts, now=now)
    _take(row, application, Signing(waiver, application.typed_name, now))
    if person:
        companions.follow(row, now=now)
        welcome(row, now=now)
    else:
        letters.ask_to_confirm(row)
    return row


@dataclass(frozen=True)
class _People:
    """How many sign up by one form, and who of them is known already."""

    count: int
    known: Person | None


def _place(
    facts: eligibility.OpenDay,
    line: list[eligibility.Held],
    people: _People,
    teaching: Teaching,
    *,
    now: datetime,
    group: str,
) -> SignUp.State:
    """Return the state of people who sign up; places that a group holds wait for nobody."""
    known = people.known
    learners = teaching.learners(people.count, known.pk if known else None)
    if group:
        refuse(groups.refusals_to_teach(eligibility.learners_left(facts, line, now=now), learners))
        return SignUp.State.UNCONFIRMED
    state = eligibility.place_for(
        facts,
        line,
        now=now,
        confirmed=known is not None,
        people=people.count,
        learners=learners,
    )
    return SignUp.State(state)


def _from_group(day: Workday, secret: str, people: int, now: datetime) -> Party:
    """Return the group with so many places fewer, which these people take. Raises Refused."""
    party = Party.objects.filter(day=day, secret=secret, is_group=True).first()
    held = party.reserved if party else 0
    until = party.held_until if party else None
    refuse(groups.refusals_to_take(held, people, until=until, now=now))
    assert party is not None  # noqa: S101  # the rule refuses places that nobody holds
    party.reserved -= people
    party.save(update_fields=["reserved"])
    return party


def _take(row: SignUp, application: Application, signing: Signing) -> None:
    row.save()
    if signing.typed_name:
        _language, yes = affirmed(signing.waiver.language)
        act = Act(yes, METHOD, signing.typed_name, signing.waiver.text)
        sign(row, signing.waiver, act, by=row.person, now=signing.now)
    detail = {"day": row.day_id, "state": row.state, "adult_age": row.day.cemetery.adult_age}
    audit.record(audit.by_link(row.person), "signed up", row, detail)
    bring(row, application.companions, signing)


def welcome(row: SignUp, *, now: datetime) -> None:
    """Make what was signed valid and mail its copy, then the calendar entry if there is a place.

    What a guardian signed for minors, and the minors' own agreement, become valid with it.
    """
    wards = [other.person_id for other in sign_ups.came_with(row) if other.guardian_id]
    fresh = Signature.objects.filter(person__in=[row.person_id, *wards], confirmed_at__isnull=True)
    signed = list(fresh.select_related("person", "waiver"))
    fresh.update(confirmed_at=now)
    given = [one for one in signed if one.role == Signature.Role.GUARDIAN]
    for signature in signed:
        if signature.person_id == row.person_id:
            signature.confirmed_at = now
            letters.copy_of_waiver(row, signature, given)
    if row.state == SignUp.State.COMING:
        invites.invite(row.day, row.person.email, now=now)
        plan_again(row.day)


def _refusals(
    facts: eligibility.OpenDay,
    application: Application,
    texts: list[Waiver],
    earlier: eligibility.State | None,
    now: datetime,
    *,
    of_age: bool,
) -> list[Refusal]:
    if not texts:
        return [Refusal("no-waiver", "There is no waiver to sign yet; please telephone.")]
    current = waivers.text_with(texts, application.text_sha256) is not None
    comer = eligibility.Comer(application.is_adult and of_age, current, earlier)
    return eligibility.refusals_to_sign_up(facts, comer, now=now)


def _of_age(day: Workday, known: Person | None) -> bool:
    """Return whether what is known of somebody lets them sign for themselves on a day, there."""
    return known is None or not is_minor_on(day, known)


def _refusals_unsigned(
    day: Workday, application: Application, known: Person | None
) -> list[Refusal]:
    return eligibility.refusals_unsigned(
        typed=bool(application.typed_name),
        holds=known is not None and bool(waivers.people_with_waiver(day, [known.pk])),
        signs_for_others=any(one.is_minor for one in application.companions),
    )


def _refusals_of_party(
    day: Workday, application: Application, known: Person | None, rows: list[SignUp]
) -> list[Refusal]:
    named = application.companions
    ages = parties.Ages(days.local_date(day), day.cemetery.adult_age)
    mailbox = known.email if known else application.email
    return [
        *parties.refusals_of(named, mailbox=mailbox, ages=ages),
        *parties.already_there(named, sign_ups.wards_there(rows, known) if known else ()),
        *parties.too_many_for(1 + len(named), day.capacity),
    ]


def _sent_twice(rows: list[SignUp], application: Application) -> SignUp | None:
    """Return the sign-up that the same form of a party has made already."""
    if not application.companions:
        return None
    who = (application.email, application.name)
    same = [row for row in rows if (row.person.email, row.person.name) == who]
    for row in same:
        if is_same_again(row, sign_ups.came_with(row), application.companions):
            return row
    return None


def _person(application: Application, known: Person | None) -> Person:
    values = {
        "telephone": application.contact.telephone,
        "emergency_name": application.contact.emergency_name,
        "emergency_telephone": application.contact.emergency_telephone,
        "languages": application.wishes.languages,
        "is_adult": True,  # also of a child who came of age since
    }
    if known is None:
        return Person.objects.create(name=application.name, email=application.email, **values)
    for name, value in values.items():
        setattr(known, name, value)
    known.save(update_fields=[*values])
    return known


def _row(day: Workday, person: Person, wishes: Wishes) -> SignUp:
    return SignUp(day=day, person=person, **vars(wishes))
