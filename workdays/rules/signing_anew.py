"""When somebody may sign anew for a day they are on, and what stands in the way."""

from workdays.rules.eligibility import State
from workdays.rules.refusals import Refusal

# Who is on the list by a mailbox that has answered; a place not confirmed is signed for elsewhere.
MAY_SIGN = frozenset({State.COMING, State.WAITING, State.OFFERED})


def refusals(*, on_the_list: bool, is_current: bool, is_missing: bool) -> list[Refusal]:
    """Return why nothing can be signed now.

    ``on_the_list``: of an open day that is not over. ``is_current``: the text is the one that is
    signed now. ``is_missing``: nothing that was signed holds, for one of those it is signed for.
    """
    if not on_the_list:
        return [Refusal("not-on-list", "You are not on the list of this day any more.")]
    if not is_missing:
        return [Refusal("holds", "What was signed before holds on this day: nothing is missing.")]
    if not is_current:
        return [Refusal("waiver", "Please read and sign the waiver as it stands now.")]
    return []
