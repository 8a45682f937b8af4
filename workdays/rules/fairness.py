"""Who has had more than a fair share of the plain work of a season, such as raking.

Plain work is what anybody may do and lead: nobody learns by doing it for the tenth time. Fair is
here: about as often as the others, for all the stretches that somebody worked (common practice,
no source).
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping
from typing import TypeVar

from workdays.rules.facts import NEW, KindFacts

P = TypeVar("P", bound=Hashable)
LEAST = 2  # stretches of one kind before anybody has had enough of it


def plain_kinds(kinds: Iterable[KindFacts]) -> frozenset[str]:
    """Return the ids of kinds of work that need no level and no supervisor."""
    return frozenset(
        kind.id
        for kind in kinds
        if kind.leader_level == kind.helper_level == NEW
        and not (kind.needs_supervisor or kind.needs_conservator)
    )


def had_enough(
    did: Mapping[P, Mapping[str, int]], plain: Iterable[str]
) -> dict[P, tuple[str, ...]]:
    """Return per person the plain kinds of which they did more than their share.

    ``did``: per person, in how many stretches of work of this season they did each kind.
    """
    total: Counter[str] = Counter()
    for kinds in did.values():
        total.update(kinds)
    everything = total.total()
    found = {
        person: tuple(
            kind
            for kind in sorted(plain)
            if kinds.get(kind, 0) >= LEAST
            and kinds[kind] * everything > total[kind] * sum(kinds.values())
        )
        for person, kinds in did.items()
    }
    return {person: kinds for person, kinds in found.items() if kinds}
