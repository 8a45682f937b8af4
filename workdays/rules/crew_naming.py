"""What crews are called: a crew keeps its name while its lead stays, and also in a new plan.

A crew whose lead leads none any more keeps its name under the one who takes most of it over.
"""

from collections import Counter
from collections.abc import Iterator, Mapping

from workdays.rules.facts import Crew, Plan

Names = Mapping[tuple[int, str], str]
WORD = "Crew"


def crew_names(
    plan: Plan, before: Plan | None = None, named: Names | None = None
) -> dict[tuple[int, str], str]:
    """Return the name of each crew by block and leader; ``named`` are those of the plan before."""
    known = dict(named or {})
    by_leader = {leader: name for (_, leader), name in sorted(known.items(), reverse=True)}
    leaders = list(dict.fromkeys(crew.leader for crew in _in_order(plan)))
    found = {leader: by_leader[leader] for leader in leaders if leader in by_leader}
    for crew in _in_order(plan):
        if crew.leader not in found:
            heir = _taken_over(crew, before or Plan(), known, set(leaders), set(found.values()))
            if heir:
                found[crew.leader] = heir
    free = _free_names({*known.values(), *found.values()})
    for leader in leaders:
        if leader not in found:
            found[leader] = next(free)
    return {(crew.block, crew.leader): found[crew.leader] for crew in plan.crews}


def _in_order(plan: Plan) -> list[Crew]:
    return sorted(plan.crews, key=lambda crew: (crew.block, int(crew.leader[1:])))


def _taken_over(
    crew: Crew, before: Plan, known: Names, leaders: set[str], taken: set[str]
) -> str | None:
    """Return the name of the crew that a new lead takes over: the one most of theirs were in."""
    shared: Counter[str] = Counter()
    for old in before.crews:
        name = known.get((old.block, old.leader))
        if old.block == crew.block and old.leader not in leaders and name and name not in taken:
            shared[name] += len(set(old.members) & set(crew.members))
    best = max(sorted(shared, key=number_of), key=lambda name: shared[name], default=None)
    return best if best and shared[best] else None


def number_of(name: str) -> tuple[int, str]:
    """Return what sorts crews by their number."""
    digits = "".join(letter for letter in name if letter.isdecimal())
    return int(digits or 0), name


def _free_names(taken: set[str]) -> Iterator[str]:
    most = max((number_of(name)[0] for name in taken), default=0)
    while True:
        most += 1
        yield f"{WORD} {most}"
