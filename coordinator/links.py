"""Links that a mail carries: one-shot links, signed for one purpose, and standing secrets.

A one-shot link names an id and a digest of the state it is good for: it dies by age, or when
that state changes. GET shows, POST acts. Modelled on the idea of a token that its use spoils.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.core import signing
from django.urls import reverse


class Dead(Exception):  # noqa: N818  # a link is dead, which is no error of the program
    """A link that no longer works; ``why`` is "altered", "old" or "used"."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


@dataclass(frozen=True)
class Purpose:
    """What one kind of link is for: its own salt and its own life span."""

    name: str
    life: timedelta


def _digest(state: str) -> str:
    return hashlib.sha256(state.encode()).hexdigest()[:16]


def make(purpose: Purpose, thing_id: int, state: str) -> str:
    """Return a token for one thing in one state (any text that changes when it is used)."""
    return signing.dumps([thing_id, _digest(state)], salt=f"link:{purpose.name}")


def read(purpose: Purpose, token: str, state_of: Callable[[int], str | None]) -> int:
    """Return the id that a token names.

    ``state_of`` gives the present state of the thing, or None when it is gone.
    Raises Dead with "altered", "old" or "used".
    """
    try:
        content = signing.loads(token, salt=f"link:{purpose.name}", max_age=purpose.life)
        thing_id, digest = int(content[0]), str(content[1])
    except signing.SignatureExpired:
        raise Dead("old") from None
    except (signing.BadSignature, ValueError, TypeError, IndexError, KeyError):
        raise Dead("altered") from None
    state = state_of(thing_id)
    if state is None or _digest(state) != digest:
        raise Dead("used")
    return thing_id


def absolute(name: str, *args: object) -> str:
    """Return the full address of a page, for use in a mail."""
    return settings.SITE_URL + reverse(name, args=args)
