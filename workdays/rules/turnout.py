"""How somebody's signature stands on a day, which days they missed, and lists within the list."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from workdays.rules.counting import counted
from workdays.rules.wall_clock import day_words

HOLDS = ("signed", "signed on paper")


@dataclass(frozen=True, slots=True)
class Signed:
    """One signature as far as it says why it does not hold."""

    paper: bool = False
    withdrawn: bool = False
    confirmed: bool = True
    ran_out: bool = False


@dataclass(frozen=True, slots=True)
class Listed:
    """One person of the list of a day, by what the list is looked through for."""

    signed: bool
    minor: bool
    waits: bool
    new: bool
    missed: bool
    party: int = 0


def waiver_words(signatures: Sequence[Signed], *, valid: bool) -> str:
    """Return how the waiver stands; ``signatures``: the newest first."""
    if valid:
        return "signed on paper" if signatures and signatures[0].paper else "signed"
    if not signatures:
        return "missing"
    last = signatures[0]
    if last.withdrawn:
        return "taken back"
    if not last.confirmed:
        return "link not answered"
    return "runs out before the day" if last.ran_out else "signed another text"


def missed_words(many: int, last: date) -> str:
    """Return "did not come once, Saturday 4 April 2026", or how often and when last."""
    if many == 1:
        return f"did not come once, {day_words(last)} {last.year}"
    often = counted(many, "time", "times").lower()
    return f"did not come {often}, last {day_words(last)} {last.year}"


def is_within(one: Listed, show: str) -> bool:
    """Return whether somebody belongs to a part of the list; an unknown part holds nobody."""
    if show.startswith("party-"):
        return bool(one.party) and show == f"party-{one.party}"
    return {
        "unsigned": not one.signed,
        "minors": one.minor,
        "waiting": one.waits,
        "new": one.new,
        "missed": one.missed,
    }.get(show, False)
