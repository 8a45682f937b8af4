"""Whether something that was signed holds on a day: how long, in which version, by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from workdays.rules.parties import age_on

DAY, NEW_VERSION = "day", "version"
GUARDIAN, MINOR = "guardian", "minor"


@dataclass(frozen=True, slots=True)
class AskedDay:
    """A day for which something must hold: its date there, the version signed then.

    ``adult_age``: from which people sign for themselves there.
    """

    on: date
    ends_at: datetime
    version: int
    adult_age: int


@dataclass(frozen=True, slots=True)
class Signed:
    """A confirmed signature of the text of a day's place, as far as it says when it holds.

    ``signed_on``: the date at the place. ``born_on``: of the person it was signed for, if known.
    """

    role: str
    validity: str
    version: int
    signed_on: date
    valid_until: date | None = None
    withdrawn_at: datetime | None = None
    born_on: date | None = None


def holds(signed: Signed, day: AskedDay) -> bool:
    """Return whether a signature lets somebody work on a day.

    It reaches back to no day before it. What is taken back after a day leaves that day as it was.
    A minor's own yes to the rules is no waiver; a guardian's ends when the child comes of age.
    """
    if signed.role == MINOR or signed.signed_on > day.on:
        return False
    if signed.withdrawn_at and signed.withdrawn_at < day.ends_at:
        return False
    return _by_the_right_person(signed, day) and _still(signed, day)


def _by_the_right_person(signed: Signed, day: AskedDay) -> bool:
    if signed.born_on is None:
        return True
    is_adult = age_on(signed.born_on, day.on) >= day.adult_age
    return is_adult != (signed.role == GUARDIAN)


def _still(signed: Signed, day: AskedDay) -> bool:
    if signed.validity == NEW_VERSION:
        return signed.version == day.version
    if signed.validity == DAY:
        return signed.valid_until == day.on
    return signed.valid_until is None or signed.valid_until >= day.on
