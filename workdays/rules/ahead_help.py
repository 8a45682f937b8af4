"""What would make the work go faster: the same tries with one change, and a mix of changes.

Equal tries have equal chances, so a difference comes from the change alone.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from workdays.rules.ahead import Forecast, look_ahead
from workdays.rules.ahead_facts import AheadFacts, Usual
from workdays.rules.facts import NEW, SUPERVISOR, KindFacts, PersonFacts

MOST_CHANGES = 4
KEPT = 0.8  # a promise that is kept in so many tries is called safe enough
AN_HOUR = 4
LEAST_GAIN = 0.02


@dataclass(frozen=True)
class Change:
    """One thing that could be otherwise: in words, and the facts as they would be."""

    words: str
    made: Callable[[AheadFacts], AheadFacts]


@dataclass(frozen=True)
class Helped:
    """What comes of some changes together."""

    words: tuple[str, ...]
    forecast: Forecast


def changes(facts: AheadFacts, kit_names: Mapping[str, str]) -> list[Change]:
    """Return what to try: one who may lead each skill, two more hands, equipment, an hour."""
    return [*_leaders(facts), _hands(), *_equipment(facts, kit_names), _hour(facts)]


def what_helps(
    facts: AheadFacts, tried: list[Change], *, tries: int, seed: int = 1
) -> list[Helped]:
    """Return each change that saves days, the best first, at most four."""
    base = look_ahead(facts, tries=tries, seed=seed)
    found = [
        Helped((one.words,), look_ahead(one.made(facts), tries=tries, seed=seed)) for one in tried
    ]
    better = [one for one in found if _gain(one.forecast) > (1 + LEAST_GAIN) * _gain(base)]
    return sorted(better, key=lambda one: -_gain(one.forecast))[:MOST_CHANGES]


def mix_for(
    facts: AheadFacts, tried: list[Change], *, by: date, tries: int, seed: int = 1
) -> Helped | None:
    """Return a short list of changes with which a promise is kept in eight tries of ten.

    The change that helps most is added first, then what helps most beside it, at most four; each
    may be added again. None: these do not suffice, or the promise is safe without any.
    """
    words: tuple[str, ...] = ()
    if look_ahead(facts, tries=tries, seed=seed).by(by) >= KEPT * tries:
        return None
    for _ in range(MOST_CHANGES):
        found = [
            (look_ahead(made, tries=tries, seed=seed), one.words, made)
            for one in tried
            for made in [one.made(facts)]
        ]
        forecast, said, facts = max(found, key=lambda one: (one[0].by(by), _gain(one[0])))
        words = (*words, said)
        if forecast.by(by) >= KEPT * tries:
            return Helped(words, forecast)
    return None


def _gain(forecast: Forecast) -> float:
    """Return a number that is higher the fewer days are taken: of all tries, one over the sum."""
    most = len(forecast.dates) + 1
    return 1 / sum(days or most for days in forecast.days)


def _leaders(facts: AheadFacts) -> Iterator[Change]:
    """Yield somebody who may lead, for each kind of work that is to be done."""
    kinds = {one.job.kind for one in facts.undone}
    for kind in facts.kinds:
        if kind.id in kinds:
            yield Change(leader_words(kind), _with_people(f"more {kind.id}", kind, 1))


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
    return Change("two more people who help, each time", _with_people("hand", None, 2))


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
