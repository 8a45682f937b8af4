"""Whom a message to people of a day reaches: one mail a mailbox, and who must be rung."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import timedelta

from workdays.rules.refusals import Refusal

MOST_IN_SUBJECT, MOST_IN_TEXT = 120, 3000
# Our own: the same words to the same people within it are a press too many.
REPEATED_WITHIN = timedelta(minutes=10)
CHANGED = Refusal(
    "changed", "The list has changed since you looked: read again who gets it, then send."
)


@dataclass(frozen=True, slots=True)
class Addressed:
    """Somebody a message is for, by number; the guardian's mailbox counts where there is no own."""

    person: int
    mailbox: str = ""
    guardian_mailbox: str = ""

    @property
    def reached_at(self) -> str:
        """Return the mailbox that a mail to them goes to; empty for none."""
        return (self.mailbox or self.guardian_mailbox).lower()


@dataclass(frozen=True, slots=True)
class Reach:
    """The people of each mailbox, and those without one."""

    mailboxes: dict[str, list[int]] = field(default_factory=dict)
    to_ring: list[int] = field(default_factory=list)

    @property
    def seen(self) -> str:
        """Return a digest of who is reached where: another one when anything differs."""
        boxes = sorted((box, sorted(people)) for box, people in self.mailboxes.items())
        told = repr((boxes, sorted(self.to_ring)))
        return hashlib.sha256(told.encode()).hexdigest()


def reach(people: Iterable[Addressed]) -> Reach:
    """Return who is reached by which mailbox, in the order given, each person once."""
    found, known = Reach(), set()
    for one in people:
        if one.person in known:
            continue
        known.add(one.person)
        if one.reached_at:
            found.mailboxes.setdefault(one.reached_at, []).append(one.person)
        else:
            found.to_ring.append(one.person)
    return found


def refusals_to_send(found: Reach, *, seen: str) -> Sequence[Refusal]:
    """Return why a message does not go; ``seen``: the digest of the preview that was read."""
    if found.seen != seen:
        return [CHANGED]
    if not found.mailboxes:
        return [Refusal("nobody", "Nobody of these has a mailbox: ring them.")]
    return []
