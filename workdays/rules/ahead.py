"""How many days clear the work: many tries with the people who usually come, and a range.

Each try draws who comes, which days are lost and how long jobs take (`ahead_chance`), makes crews
day by day (`ahead_crews`) and lets them work (`ahead_work`). What people may do is judged by the
hard rules of a plan; how they are put to work is one careful rule of thumb, not the search. On
five example days, with everybody there all day, it finished 71 to 89 % of the person-minutes that
the search finished in 20,000 rounds (88 and 89 % on three of them with 25 people and more), so
the days that it tells are rather too many than too few.

People are taken to come independently of each other. That all of them come to a fine Saturday in
May is in the days of the past, not in a try.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from workdays.rules.ahead_chance import Chance, Luck
from workdays.rules.ahead_facts import AheadFacts
from workdays.rules.ahead_tables import Hand, Tables, came_together
from workdays.rules.ahead_work import Yard
from workdays.rules.facts import PersonFacts

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
LOST, WAITS, NOBODY = "lost", "waits", "nobody"


@dataclass(frozen=True, slots=True)
class Range:
    """Days in eight tries of ten, and the middle; None: not within the days there are."""

    low: int | None
    middle: int | None
    high: int | None


@dataclass(frozen=True)
class Forecast:
    """What came of all tries.

    `days`: how many each took, None: not cleared. `held_up`: on how many days of all tries
    something held the work up: LOST, WAITS, NOBODY, or (kind of work, why it got no crew).
    `all_days`: days of all tries together. `stones`, `jobs`: finished, try by try, of `of_jobs`.
    `came`, `idle`: people, and people without work, on an average day with work. `unfinished`: in
    how many tries days did not suffice for a kind of work that was ready.
    """

    dates: tuple[date, ...]
    days: tuple[int | None, ...]
    held_up: Counter[str | tuple[str, str]] = field(default_factory=Counter)
    all_days: int = 0
    stones: tuple[int, ...] = ()
    jobs: tuple[int, ...] = ()
    of_jobs: int = 0
    idle: float = 0.0
    came: float = 0.0
    unfinished: Counter[str] = field(default_factory=Counter)

    @property
    def tries(self) -> int:
        """How many tries there were."""
        return len(self.days)

    @property
    def range(self) -> Range:
        """The days in eight tries of ten."""
        return Range(*(within(self.days, share) for share in (LOW, MIDDLE, HIGH)))

    @property
    def likeliest(self) -> int | None:
        """The number of days that came most often, the smaller of two; None: not cleared."""
        counts = Counter(self.days)
        return max(counts, key=lambda days: (counts[days], -(days or len(self.dates) + 1)))

    def by(self, on: date) -> int:
        """Return in how many tries all was cleared by a date."""
        return sum(days is not None and self.dates[days - 1] <= on for days in self.days)

    @property
    def mean_jobs(self) -> float:
        """Jobs done on average."""
        return sum(self.jobs) / max(1, len(self.jobs))

    @property
    def never(self) -> int:
        """In how many tries the days did not suffice."""
        return self.days.count(None)


def within(days: Sequence[int | None], share: float) -> int | None:
    """Return the fewest days that suffice in at least such a share of tries; None: none do."""
    known = sorted(number for number in days if number is not None)
    needed = max(1, ceil(share * len(days) - 1e-9))
    return known[needed - 1] if needed <= len(known) else None


def look_ahead(facts: AheadFacts, *, tries: int, seed: int = 1) -> Forecast:
    """Return what comes of so many tries; the same facts, tries and seed give the same.

    Without days, tries or work there is nothing to forecast: raises ValueError.
    """
    if not facts.dates or not facts.undone or tries < 1:
        raise ValueError("no day, no work or no try")
    tables, chance = Tables(facts), Chance(facts, seed=seed)
    found = [_try(tables, chance.of(number)) for number in range(tries)]
    held_up: Counter[str | tuple[str, str]] = Counter()
    for one in found:
        held_up.update(one.held_up)
    worked = max(1, sum(one.worked for one in found))
    return Forecast(
        dates=facts.dates,
        days=tuple(one.days for one in found),
        held_up=held_up,
        all_days=sum(one.days or len(facts.dates) for one in found),
        stones=tuple(one.stones for one in found),
        jobs=tuple(one.jobs for one in found),
        of_jobs=len(facts.undone),
        idle=sum(one.idle for one in found) / worked,
        came=sum(one.came for one in found) / worked,
        unfinished=Counter(kind for one in found for kind in one.unfinished),
    )


@dataclass(slots=True)
class _Try:
    days: int | None = None
    worked: int = 0
    came: int = 0
    idle: int = 0
    stones: int = 0
    jobs: int = 0
    held_up: Counter[str | tuple[str, str]] = field(default_factory=Counter)
    unfinished: frozenset[str] = frozenset()


def _try(tables: Tables, luck: Luck) -> _Try:
    facts, found = tables.facts, _Try()
    yard = Yard(tables, luck.pace.tolist())
    always = [h for h, u in zip(tables.hands, facts.people, strict=True) if u.always]
    often = [h for h, u in zip(tables.hands, facts.people, strict=True) if not u.always]
    new = [tables.hand(PersonFacts(f"new {n}", 0, 0)) for n in range(max(facts.newcomers or (0,)))]
    for number, on in enumerate(facts.dates):
        if luck.lost[number]:
            found.held_up[LOST] += 1
            continue
        there = [often[n] for n in luck.present[number].nonzero()[0].tolist()]
        hands = came_together([*there, *new[: int(luck.newcomers[number])], *always])
        _work(found, yard, on, hands)
        if yard.cleared:
            found.days = number + 1
            break
        if yard.hopeless(facts.dates[-1]):
            _never_again(found, yard, len(facts.dates) - number - 1)
            break
    if found.days is None:
        found.unfinished = frozenset(tables.kinds[kind].id for kind in yard.waiting_kinds())
    found.stones, found.jobs = yard.stones, len(facts.undone) - yard.left
    return found


def _work(found: _Try, yard: Yard, on: date, hands: Sequence[Hand]) -> None:
    """Work for a day, and note what held it up."""
    worked = yard.day(on, hands)
    people = sum(hand.heads for hand in hands)
    if people < yard.tables.facts.ratios.min_crew:
        found.held_up[NOBODY] += 1
        return
    if not worked.ready and not worked.short:
        found.held_up[WAITS] += 1
    found.held_up.update(_short(yard.tables, worked.short.items()))
    if worked.ready:
        found.worked += 1
        found.came += people
        found.idle += worked.idle


def _never_again(found: _Try, yard: Yard, days: int) -> None:
    """Note what the rest of the days lack: leave that has run out for all that is left."""
    for kind in yard.waiting_kinds():
        found.held_up[yard.tables.kinds[kind].id, "leave"] += days


def _short(tables: Tables, short: Iterable[tuple[int, str]]) -> Iterable[tuple[str, str]]:
    return ((tables.kinds[kind].id, why) for kind, why in short)
