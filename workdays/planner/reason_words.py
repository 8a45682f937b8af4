"""The words of a reason: times, names, equipment."""

from workdays.rules.counting import joined
from workdays.rules.facts import DayFacts, JobFacts, KindFacts, PersonFacts


def work(kind: KindFacts) -> str:
    """What a kind of work is called inside a sentence."""
    return lower(kind.label or kind.id)


def skill_words(facts: DayFacts, skill: str) -> str:
    """What a skill is called inside a sentence."""
    kinds = [kind for kind in facts.kinds if kind.skill == skill]
    return facts.labels.get(skill) or (work(kinds[0]) if len(kinds) == 1 else skill)


def lower(sentence: str) -> str:
    """A sentence to go on with after a colon."""
    return sentence[:1].lower() + sentence[1:]


def names(facts: DayFacts, ids: tuple[str, ...]) -> str:
    """People by name: "Ana, Ben and Cy"."""
    return joined([facts.person[key].label for key in ids])


def equipment(facts: DayFacts, key: str, count: int) -> str:
    """Equipment with its number: "2 x hand sprayer"."""
    return f"{count} x {facts.labels.get(key, key)}"


def are_there(n: int, who: str = "") -> str:
    """Return "1 is there" or "2 who may do such work are there"."""
    return " ".join(filter(None, [str(n), who, "is there" if n == 1 else "are there"]))


def too_late(
    facts: DayFacts, hours: list[tuple[int, int]], people: list[PersonFacts], who: str
) -> str:
    """A sentence for people of whom nobody is there long enough in the hours of a job."""
    first, last = min(p.arrive for p in people), max(p.leave for p in people)
    if first > min(lo for lo, _ in hours):
        return f"No {who} is there before {facts.clock(first)}, and then the time is too short."
    if last < max(hi for _, hi in hours):
        return f"No {who} is there after {facts.clock(last)}, and until then the time is too short."
    return f"No {who} is there long enough in the hours in which it may be done."


def long_enough(hours: list[tuple[int, int]], lasts: int, people: list[PersonFacts]) -> bool:
    """Whether somebody alone is there long enough in some hours of a job."""
    return any(min(p.leave, hi) - max(p.arrive, lo) >= lasts for p in people for lo, hi in hours)


def points(gain: int) -> str:
    """What a change brings: "the plan would lose 3 points by it"."""
    if gain == 0:
        return "the plan would gain nothing by it"
    count = f"{abs(gain)} point" if abs(gain) == 1 else f"{abs(gain)} points"
    return f"the plan would {'gain' if gain > 0 else 'lose'} {count} by it"


def shortest(facts: DayFacts, job: JobFacts, most: int) -> int:
    """Quarter hours that a job takes at least."""
    return facts.lasts(job.id, max(1, most))
