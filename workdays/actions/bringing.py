"""Whom an adult brings along: a party, minors for whom they sign, adults who will be asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from coordinator import audit
from coordinator.models import Person
from workdays.actions.signing import Act, sign
from workdays.models import Party, Signature, SignUp, Waiver
from workdays.rules.parties import Companion
from workdays.rules.young_people import rules_in

AFFIRMED_FOR = "I have read this and I agree to it for the child named, whose guardian I am."
METHOD_FOR = "ticked for the child by name, guardian's name typed"
METHOD_OF_MINOR = "ticked on the guardian's page, with the child"


@dataclass(frozen=True)
class Signing:
    """Which text is signed now, under which typed name, when."""

    waiver: Waiver
    typed_name: str
    now: datetime


def bring(row: SignUp, named: Sequence[Companion], signing: Signing) -> None:
    """Make the sign-ups of people named by a person, in the state of that person's own."""
    if not named:
        return
    if row.party is None:
        row.party = Party.objects.create(
            day=row.day, name=f"with {row.person.name}"[:120], leader=row.person
        )
        row.save(update_fields=["party", "changed_at"])
    for one in named:
        other = _of_minor(row, one, signing) if one.is_minor else _of_adult(row, one)
        detail = {"day": row.day_id, "state": other.state, "minor": one.is_minor}
        audit.record(audit.by_link(row.person), "brought along", other, detail)


def _of_adult(row: SignUp, one: Companion) -> SignUp:
    person = Person.objects.create(name=one.name, email=one.email, is_adult=True)
    return _row(row, person, named_by=row.person)


def _of_minor(row: SignUp, one: Companion, signing: Signing) -> SignUp:
    child = _child(row.person, one)
    other = _row(
        row,
        child,
        guardian=row.person,
        comes_at=row.comes_at,
        leaves_at=row.leaves_at,
        languages=row.languages,
    )
    sign_for_child(other, one.relation, signing, by=row.person)
    return other


def sign_for_child(row: SignUp, relation: str, signing: Signing, *, by: Person) -> list[Signature]:
    """Store what a guardian signs for a minor of a sign-up, and the minor's own yes to rules."""
    text, now, roles = signing.waiver.text, signing.now, Signature.Role
    given = Act(AFFIRMED_FOR, METHOD_FOR, signing.typed_name, text, roles.GUARDIAN, relation)
    rules = rules_in(signing.waiver.language)
    agreed = Act(
        rules.agreed,
        METHOD_OF_MINOR,
        row.person.name,
        rules.text,
        roles.MINOR,
        language=rules.language,
    )
    return [
        sign(row, signing.waiver, given, by=by, now=now),
        sign(row, signing.waiver, agreed, by=row.person, now=now),
    ]


def _row(row: SignUp, person: Person, **said: object) -> SignUp:
    return SignUp.objects.create(
        day=row.day,
        person=person,
        party=row.party,
        state=row.state,
        held_until=row.held_until,
        **said,
    )


def _child(guardian: Person, one: Companion) -> Person:
    """Return the child as a guardian brought it before, else a new person."""
    before = Person.objects.filter(
        sign_ups__guardian=guardian, name=one.name, born_on=one.born_on, is_adult=False
    ).first()
    return before or Person.objects.create(
        name=one.name,
        email=guardian.email,
        emergency_name=guardian.name,
        emergency_telephone=guardian.telephone,
        languages=guardian.languages,
        born_on=one.born_on,
        is_adult=False,
    )


def is_same_again(row: SignUp, others: Sequence[SignUp], named: Sequence[Companion]) -> bool:
    """Return whether a stranger's sign-up holds just these people: a form that was sent twice."""
    there = sorted(other.person.name for other in others)
    return row.person.is_provisional and there == sorted(one.name for one in named)
