"""Judge a person's word over what triage concluded: stricter is free, looser needs a reason."""

from workdays.rules.refusals import Refusal
from workdays.rules.triage import Conclusion, Kind, Need

GRAVITY = {Kind.NEEDS: 0, Kind.CONSERVATOR: 1, Kind.LEAVE_ALONE: 2}
SHORTEST_REASON = 20


def is_stricter(one: Conclusion | None, other: Conclusion | None) -> bool:
    """Return whether the first conclusion allows less than the second."""
    return _gravity(one) > _gravity(other)


def is_looser(new: Conclusion, old: Conclusion | None) -> bool:
    """Return whether a word allows anything that the conclusion before it did not.

    Among needs, only asking to look again allows no more than before.
    """
    if _gravity(new) != _gravity(old):
        return _gravity(new) < _gravity(old)
    if old is None or new.kind is not Kind.NEEDS:
        return False
    return new.needs - {Need.LOOK_AGAIN} != old.needs - {Need.LOOK_AGAIN} or (
        Need.LOOK_AGAIN in old.needs - new.needs
    )


def refusals_to_override(new: Conclusion, old: Conclusion | None, reason: str) -> list[Refusal]:
    """Return why a person's word cannot be taken; empty: it can."""
    if old is None and new.kind is not Kind.LEAVE_ALONE:
        sentence = "Nobody has surveyed this stone: survey it, or say that it is left alone."
        return [Refusal("not-seen", sentence)]
    if is_looser(new, old) and len(reason.strip()) < SHORTEST_REASON:
        sentence = (
            "This allows more than before: write down why, in a sentence that the owner may read."
        )
        return [Refusal("no-reason", sentence)]
    return []


def _gravity(concluded: Conclusion | None) -> int:
    """Nothing may touch a stone that nobody saw, no more than one that is left alone."""
    return GRAVITY[Kind.LEAVE_ALONE if concluded is None else concluded.kind]
