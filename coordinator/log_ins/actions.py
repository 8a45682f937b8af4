"""Add, rename and remove a passkey; end every session of somebody. Each leaves an audit entry."""

import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from allauth.mfa.models import Authenticator
from django.db import transaction

from coordinator import audit, links, outbox
from coordinator.models import Person, User

MOST_PASSKEYS = 10


@dataclass(frozen=True)
class NewPasskey:
    """What a person calls a passkey, and the proven answer of the browser that made it."""

    name: str
    credential: dict[str, Any]


def _person(user: User) -> Person | None:
    return Person.objects.filter(user=user).first()


def _record(user: User, verb: str, **detail: Any) -> None:
    audit.record(audit.by_person(_person(user)), verb, user, detail)


def _tell(user: User, template: str) -> None:
    """Mail the person that how they sign in has changed, so that a stranger's act is seen."""
    letter = outbox.compose(
        f"coordinator/mail/{template}",
        {"link": links.absolute("log_ins")},
        reason="log-in",
        to_address=user.email,
        person=_person(user),
    )
    outbox.queue(letter, key=f"{template}:{uuid.uuid4()}")


@transaction.atomic
def add_passkey(user: User, new: NewPasskey) -> Authenticator:
    """Keep a passkey that was proven to be new."""
    made = Authenticator.objects.create(
        user=user,
        type=Authenticator.Type.WEBAUTHN,
        data={"name": new.name, "credential": new.credential},
    )
    _record(user, "added a passkey", passkey=made.pk)
    _tell(user, "passkey_added")
    return made


@transaction.atomic
def rename_passkey(row: Authenticator, name: str) -> None:
    """Give a passkey another name; the name stands on its owner's page only."""
    row.data["name"] = name
    row.save(update_fields=["data"])
    _record(row.user, "renamed a passkey", passkey=row.pk)


@transaction.atomic
def remove_passkey(row: Authenticator) -> None:
    """Take a passkey away; a second press finds nothing and does nothing."""
    user, number = row.user, row.pk
    deleted, _ = Authenticator.objects.filter(pk=number).delete()
    if deleted:
        _record(user, "removed a passkey", passkey=number)
        _tell(user, "passkey_removed")


@transaction.atomic
def end_sessions(user: User, *, by: Person | None) -> None:
    """Make every session of somebody worthless: each holds a digest of this mark."""
    user.log_in_mark = secrets.token_urlsafe(12)
    user.save(update_fields=["log_in_mark"])
    audit.record(audit.by_person(by), "ended all log-ins", user)
