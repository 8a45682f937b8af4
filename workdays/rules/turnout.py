"""How somebody's signature stands on a day, which days they missed, and lists within the list."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from training.rules.standing import Level
from workdays.rules.counting import counted
from workdays.rules.wall_clock import day_words

HOLDS = ("signed", "signed on paper")


@dataclass(frozen=True, slots=True)
class Signed:
    """One signature as far as it says why it does not hold.

    ``other_day``: it was for one day, and that is another; ``outgrown``: a guardian signed for
    somebody who is of age on the day.
    """

    paper: bool = False
    withdrawn: bool = False
    confirmed: bool = True
    ran_out: bool = False
    other_day: bool = False
    outgrown: bool = False


@dataclass(frozen=True, slots=True)
class Listed:
    """One person of the list of a day, by what the list is looked through for.

    ``levels`` by the key of a skill; ``brings``: keys of equipment.
    """

    signed: bool
    minor: bool
    waits: bool
    new: bool
    missed: bool
    party: int = 0
    levels: Mapping[str, Level] = field(default_factory=dict)
    brings: frozenset[str] = frozenset()


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
    if last.outgrown:
        return "of age now: signs alone"
    if last.other_day:
        return "signed for another day"
    return "runs out before the day" if last.ran_out else "signed another text"


def missed_words(many: int, last: date) -> str:
    """Return "did not come once, Saturday 4 April 2026", or how often and when last."""
    if many == 1:
        return f"did not come once, {day_words(last)} {last.year}"
    often = counted(many, "time", "times").lower()
    return f"did not come {often}, last {day_words(last)} {last.year}"


def is_within(one: Listed, show: str) -> bool:
    """Return whether somebody belongs to a part of the list; an unknown part holds nobody."""
    kind, _, which = show.partition("-")
    match kind:
        case "party":
            return bool(one.party) and which == str(one.party)
        case "brings":
            return which in one.brings
        case "level":
            return _holds_level(one, show)
    return {
        "coming": not one.waits,
        "unsigned": not one.signed,
        "minors": one.minor,
        "waiting": one.waits,
        "new": one.new,
        "missed": one.missed,
    }.get(show, False)


def level_key(skill: str, level: Level) -> str:
    """Return the part of those who hold a level or a higher one; new means nothing higher."""
    return f"level-{skill}-{level.value}"


def level_of_key(show: str) -> tuple[str, Level] | None:
    """Return skill and level of such a part; None for what is none."""
    kind, _, which = show.partition("-")
    skill, _, number = which.rpartition("-")
    asked = next((level for level in Level if str(level.value) == number), None)
    return (skill, asked) if kind == "level" and skill and asked is not None else None


def _holds_level(one: Listed, show: str) -> bool:
    found = level_of_key(show)
    if found is None:
        return False
    held = one.levels.get(found[0], Level.NEW)
    return held is found[1] if found[1] is Level.NEW else held >= found[1]
