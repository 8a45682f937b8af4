"""What would make the work go faster: the same tries with one change, and a mix of changes.

Equal tries have equal chances, so a difference comes from the change alone.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil

from workdays.rules.ahead import Forecast, look_ahead
from workdays.rules.ahead_facts import AheadFacts, Period, Usual
from workdays.rules.facts import NEW, SUPERVISOR, KindFacts, PersonFacts

MOST_CHANGES = 4
KEPT = 0.8  # a promise that is kept in so many tries is called safe enough
AN_HOUR = 4
LEAST_GAIN = 0.02
THINGS, HANDS, LEADS, LEAVE = range(4)  # in the order in which they are done without


@dataclass(frozen=True)
class Change:
    """One thing that could be otherwise: in words, and the facts as they would be.

    `people`: THINGS, HANDS, LEADS or LEAVE.
    """

    words: str
    made: Callable[[AheadFacts], AheadFacts]
    people: int = THINGS


@dataclass(frozen=True)
class Helped:
    """What comes of some changes together."""

    words: tuple[str, ...]
    forecast: Forecast


def changes(facts: AheadFacts, kit_names: Mapping[str, str]) -> list[Change]:
    """Return what to try: somebody to lead each work, more hands, equipment, an hour, leave."""
    return [
        *_leaders(facts),
        _hands(),
        *_equipment(facts, kit_names),
        _hour(facts),
        *_renewed(facts),
    ]


def what_helps(
    facts: AheadFacts, tried: list[Change], *, tries: int, seed: int = 1
) -> list[Helped]:
    """Return each change that saves days, the best first, at most four."""
    base = look_ahead(facts, tries=tries, seed=seed)
    found = [
        Helped((one.words,), look_ahead(one.made(facts), tries=tries, seed=seed)) for one in tried
    ]
    better = [one for one in found if _cost(one.forecast) < (1 - LEAST_GAIN) * _cost(base)]
    return sorted(better, key=lambda one: _cost(one.forecast))[:MOST_CHANGES]


def mix_for(
    facts: AheadFacts, tried: Sequence[Change], *, by: date, tries: int, seed: int = 1
) -> Helped | None:
    """Return changes that together keep a promise in eight tries of ten, each of them needed.

    All of them are made, those of people twice; then each that is not needed is taken back, what
    helps least with skills first. None: these do not suffice, or the promise is safe without any.
    """
    until = tuple(on for on in facts.dates if on <= by)
    made = [*tried, *(one for one in tried if one.people in (HANDS, LEADS))]
    asked = replace(facts, dates=until)
    if not until or _kept(asked, tries, seed) or not _kept(_made(asked, made), tries, seed):
        return None
    for one in sorted(made, key=lambda change: change.people):
        without = list(made)
        without.remove(one)
        if _kept(_made(asked, without), tries, seed):
            made = without
    return Helped(_counted(made), look_ahead(_made(facts, made), tries=tries, seed=seed))


def _made(facts: AheadFacts, changes: Sequence[Change]) -> AheadFacts:
    for one in changes:
        facts = one.made(facts)
    return facts


def _kept(facts: AheadFacts, tries: int, seed: int) -> bool:
    """Whether eight tries of ten end within the days; the first ones may tell that too few do."""
    needed = ceil(KEPT * tries)
    enough_to_fail = tries - needed + 1
    if look_ahead(facts, tries=enough_to_fail, seed=seed).never == enough_to_fail:
        return False
    return tries - look_ahead(facts, tries=tries, seed=seed).never >= needed


def _counted(made: Sequence[Change]) -> tuple[str, ...]:
    """Return each change once, with a word on what is made twice."""
    times = Counter(one.words for one in made)
    return tuple(f"{words} (twice)" if count > 1 else words for words, count in times.items())


def _cost(forecast: Forecast) -> float:
    """Return the days of an average try; one that was not cleared costs more the less it did."""
    most = len(forecast.dates)
    left = 1 - forecast.mean_jobs / max(1, forecast.of_jobs)
    days = sum(days or most for days in forecast.days) / forecast.tries
    return days + (left * most if forecast.never else 0)


def _leaders(facts: AheadFacts) -> Iterator[Change]:
    """Yield somebody who may lead, for each kind of work that is to be done."""
    kinds = {one.job.kind for one in facts.undone}
    for kind in facts.kinds:
        if kind.id in kinds:
            yield Change(leader_words(kind), _with_people(f"more {kind.id}", kind, 1), LEADS)


def leader_words(kind: KindFacts) -> str:
    """Return who would help: "one more supervisor of resetting, each time"."""
    if kind.needs_conservator:
        return f"a conservator for {activity(kind)}, each time"
    if kind.needs_supervisor:
        return f"one more supervisor of {activity(kind)}, each time"
    return f"one more person who may lead {activity(kind)}, each time"


def leaders(kind: KindFacts) -> str:
    """Return who leads a kind of work, as the label of their number."""
    if kind.needs_conservator:
        return f"Conservators for {activity(kind)}"
    if kind.needs_supervisor:
        return f"Supervisors of {activity(kind)}"
    return f"People who may lead {activity(kind)}"


def activity(kind: KindFacts) -> str:
    """Return the work inside a sentence: "gentle cleaning"."""
    label = kind.label or kind.id
    return label[:1].lower() + label[1:]


def leader_of(kind: KindFacts, key: str) -> PersonFacts:
    """Return somebody who may lead a kind of work, and supervise it where that is asked for."""
    level = max(kind.leader_level, kind.helper_level, SUPERVISOR if kind.needs_supervisor else NEW)
    return PersonFacts(
        key, 0, 0, levels={kind.skill: level}, leads=True, conservator=kind.needs_conservator
    )


def _with_people(
    key: str, kind: KindFacts | None, count: int
) -> Callable[[AheadFacts], AheadFacts]:
    def made(facts: AheadFacts) -> AheadFacts:
        known = len(facts.people)
        keys = [f"{key} {known + n}" for n in range(count)]
        more = [leader_of(kind, one) if kind else PersonFacts(one, 0, 0) for one in keys]
        added = (Usual(person, always=True) for person in more)
        return replace(facts, people=(*facts.people, *added))

    return made


def _hands() -> Change:
    return Change("two more people who help, each time", _with_people("hand", None, 2), HANDS)


def _equipment(facts: AheadFacts, names: Mapping[str, str]) -> Iterator[Change]:
    for item in sorted({item for one in facts.undone for item in one.job.kit}):
        yield Change(f"one more of this: {names.get(item, item)}", _with_kit(item))


def _with_kit(item: str) -> Callable[[AheadFacts], AheadFacts]:
    def made(facts: AheadFacts) -> AheadFacts:
        return replace(facts, kit={**facts.kit, item: facts.kit.get(item, 0) + 1})

    return made


def _hour(facts: AheadFacts) -> Change:
    def made(facts: AheadFacts) -> AheadFacts:
        return replace(facts, blocks=(*facts.blocks[:-1], facts.blocks[-1] + AN_HOUR))

    return Change("one hour more each day", made)


def _renewed(facts: AheadFacts) -> Iterator[Change]:
    """Yield the owner's leave for all of the work on every day, where some of it runs out."""
    kinds = {one.job.kind for one in facts.undone}
    leave = [facts.leave.get(kind) for kind in sorted(kinds)]
    days = facts.dates
    if all(periods is None or _covers(periods, days) for periods in leave):
        return
    yield Change(
        "the owner's leave for all of this work, for as long as it takes",
        lambda facts: replace(facts, leave={}),
        LEAVE,
    )


def _covers(periods: Sequence[Period], dates: Sequence[date]) -> bool:
    return all(any(first <= on <= last for first, last in periods) for on in dates)
