"""Who did what to which thing, when and why. Called by actions only; ids and values, no names."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Model

from coordinator.models import AuditEntry, Person


@dataclass(frozen=True)
class Actor:
    """Who acts: a person by log-in, a person by link, or the service by a named rule."""

    kind: AuditEntry.ActorKind
    person: Person | None = None
    rule: str = ""


def by_login(person: Person) -> Actor:
    """Return somebody who is logged in."""
    return Actor(AuditEntry.ActorKind.LOGIN, person)


def by_link(person: Person | None) -> Actor:
    """Return somebody who came by a mailed link; None for a host, who is no Person."""
    return Actor(AuditEntry.ActorKind.LINK, person)


def by_person(person: Person | None) -> Actor:
    """Return somebody who is logged in; None is whoever runs a command on the machine."""
    return by_login(person) if person else by_rule("a command on the machine")


def by_rule(rule: str) -> Actor:
    """Return the service itself, acting by a rule."""
    return Actor(AuditEntry.ActorKind.RULE, rule=rule)


def record(actor: Actor, verb: str, thing: Model, detail: dict[str, Any] | None = None) -> None:
    """Write one audit row in the transaction of the change it tells of."""
    record_many(actor, verb, [(thing, detail or {})])


def record_many(actor: Actor, verb: str, things: Iterable[tuple[Model, dict[str, Any]]]) -> None:
    """Write one audit row for each thing and what is told of it."""
    AuditEntry.objects.bulk_create(
        [
            AuditEntry(
                actor_kind=actor.kind,
                actor=actor.person,
                rule=actor.rule,
                verb=verb,
                thing_type=thing._meta.model_name or "",
                thing_id=str(thing.pk),
                detail=detail,
            )
            for thing, detail in things
        ],
        batch_size=500,
    )
