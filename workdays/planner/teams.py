"""Who could be one crew: the exact search behind each reason for what is left out.

People who differ in nothing that the rules ask about are counted, not listed; only minors, those
who come with them, and those kept apart from somebody are tried one by one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from workdays.rules.facts import NEW, SIGNED_OFF, BlockFacts, DayFacts, PersonFacts


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a crew must come to: so many people, of whom so many lift, are new, or learn.

    `ratio`: most new people for each signed off; `learners`: most people below signed off; None:
    any number. `families`, `apart`: whether minors with their guardians, and pairs, count.
    """

    skill: str
    size: int
    lifters: int = 0
    ratio: int | None = None
    learners: int | None = None
    families: bool = True
    apart: bool = True

    def holds(self, people: list[PersonFacts]) -> bool:
        """Whether these people, as many as wanted, come to what is wanted."""
        levels = [person.level(self.skill) for person in people]
        competent = sum(level >= SIGNED_OFF for level in levels)
        if self.ratio is not None and levels.count(NEW) > self.ratio * competent:
            return False
        if self.learners is not None and len(people) - competent > self.learners:
            return False
        return sum(person.lift for person in people) >= self.lifters


@dataclass(frozen=True, slots=True)
class Unit:
    """People who come into a crew together; who must be in it with them, and who must not."""

    people: tuple[PersonFacts, ...]
    needs: frozenset[str] = frozenset()
    never: frozenset[str] = frozenset()
    ids: frozenset[str] = frozenset()

    @classmethod
    def of(cls, people: tuple[PersonFacts, ...], needs: frozenset[str] = frozenset()) -> "Unit":
        """The unit of these people."""
        return cls(people, needs, ids=frozenset(person.id for person in people))


def team(
    facts: DayFacts,
    block: BlockFacts,
    wanted: Wanted,
    must: list[str],
    pool: list[PersonFacts],
) -> tuple[str, ...] | None:
    """Return the ids of a crew that holds all of `must`, its first first; None: there is none.

    Everybody comes from the pool, `must` too; who may be at the work at all is decided before.
    """
    if len(pool) < wanted.size:
        return None
    bound = wanted.families and not all(person.adult for person in facts.people)
    if not bound and not (wanted.apart and facts.apart):
        return _alone(wanted, must, pool)
    units = _units(facts, block, wanted, pool)
    forced = [unit for unit in units if not unit.ids.isdisjoint(must)]
    if not set(must) <= {key for unit in forced for key in unit.ids}:
        return None
    needed = {key for unit in units for key in unit.needs}
    others = [unit for unit in units if unit.ids.isdisjoint(must)]
    special = [unit for unit in others if _is_special(unit, needed)]
    plain = [unit.people[0] for unit in others if not _is_special(unit, needed)]
    for chosen in _chosen(forced, special, wanted.size):
        found = _filled(wanted, [p for unit in chosen for p in unit.people], plain)
        if found is not None:
            return (*must, *sorted({person.id for person in found} - set(must)))
    return None


def _is_special(unit: Unit, needed: set[str]) -> bool:
    alone = len(unit.people) == 1 and unit.ids.isdisjoint(needed)
    return not alone or bool(unit.needs or unit.never)


def _alone(wanted: Wanted, must: list[str], pool: list[PersonFacts]) -> tuple[str, ...] | None:
    """The same where nobody depends on anybody."""
    mine = [person for person in pool if person.id in must]
    if len(mine) < len(must):
        return None
    found = _filled(wanted, mine, [person for person in pool if person.id not in must])
    if found is None:
        return None
    return (*must, *sorted({person.id for person in found} - set(must)))


def _units(
    facts: DayFacts, block: BlockFacts, wanted: Wanted, pool: list[PersonFacts]
) -> list[Unit]:
    there = {person.id for person in pool}
    if wanted.families and facts.ratios.minors_follow:
        found = _families(facts, block, pool)
    else:
        found = [Unit.of((person,)) for person in pool]
        if wanted.families:
            found = [_beside_guardian(unit) for unit in found]
    if wanted.apart and facts.apart:
        found = [replace(unit, never=_rivals(facts, unit)) for unit in found]
    return [u for u in found if (u.ids | u.needs) <= there and not u.ids & u.never]


def _beside_guardian(unit: Unit) -> Unit:
    """A minor needs the guardian, one who has none needs somebody who is not there."""
    [person] = unit.people
    return unit if person.adult else replace(unit, needs=frozenset({person.guardian or ""}))


def _families(facts: DayFacts, block: BlockFacts, pool: list[PersonFacts]) -> list[Unit]:
    """Everybody of the pool together with those whom the rules bind to them, each once."""
    bound: dict[str, set[str]] = {person.id: {person.id} for person in facts.people}
    for minor in facts.people:
        if minor.adult or not minor.slots_in(block):
            continue
        both = bound[minor.id] | bound.get(minor.guardian or "", {""})
        for key in both & bound.keys():
            bound[key] = both
    groups = dict.fromkeys(frozenset(bound[person.id]) for person in pool)
    known = facts.person
    return [
        Unit.of(tuple(known[key] for key in sorted(group & known.keys())), group - known.keys())
        for group in groups
    ]


def _rivals(facts: DayFacts, unit: Unit) -> frozenset[str]:
    pairs = [pair for pair in facts.apart if unit.ids & set(pair)]
    return frozenset(
        other for one, two in pairs for key, other in ((one, two), (two, one)) if key in unit.ids
    )


def _chosen(forced: list[Unit], special: list[Unit], size: int) -> Iterator[list[Unit]]:
    """Each choice among those who are tried one by one, the smallest first."""
    taken = sum(len(unit.people) for unit in forced)
    for count in range(min(len(special), size - taken) + 1 if taken <= size else 0):
        for more in combinations(special, count):
            units = [*forced, *more]
            ids = {key for unit in units for key in unit.ids}
            fits = sum(len(unit.people) for unit in units) <= size
            if fits and all(u.needs <= ids and not u.never & ids for u in units):
                yield units


def _filled(
    wanted: Wanted, people: list[PersonFacts], plain: list[PersonFacts]
) -> list[PersonFacts] | None:
    """The people filled up with others, counted by what the work asks about."""
    sorts: dict[tuple[bool, bool, bool], list[PersonFacts]] = {}
    for person in plain:
        level = person.level(wanted.skill)
        sorts.setdefault((level >= SIGNED_OFF, level == NEW, person.lift), []).append(person)
    groups = [sorts[key] for key in sorted(sorts, reverse=True)]
    for more in _counted(groups, wanted.size - len(people)):
        if wanted.holds([*people, *more]):
            return [*people, *more]
    return None


def _counted(groups: list[list[PersonFacts]], count: int) -> Iterator[list[PersonFacts]]:
    """Each way to take so many people from groups of people who are alike."""
    if not groups:
        if count == 0:
            yield []
        return
    first, *rest = groups
    for taken in range(min(count, len(first)), -1, -1):
        for more in _counted(rest, count - taken):
            yield [*first[:taken], *more]
