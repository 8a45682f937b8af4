"""What a day still lacks, in sentences, with the page where each is mended."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from training.rules.standing import Level
from workdays.rules.counting import counted
from workdays.rules.leave import Quiet, span
from workdays.rules.parties import adults_lacking


class Page(StrEnum):
    """Names of the pages where a gap is closed."""

    DESK = "day_desk"
    EDIT = "day_edit"
    JOBS = "day_jobs"
    PERMISSIONS = "permissions"


@dataclass(frozen=True)
class Gap:
    """One thing that is missing. ``page`` is where it is mended."""

    code: str
    sentence: str
    page: Page


@dataclass(frozen=True)
class Work:
    """Jobs of one kind meant for the day: what they ask of leaders and of the equipment.

    ``skill`` is empty where anybody may lead. ``uses`` holds, for each piece of equipment by
    name, the largest number that one of the jobs needs at once.
    """

    kind: str
    jobs: int
    skill: str
    leader_level: Level
    needs_supervisor: bool
    uses: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class DeskFacts:
    """What is known of a day: people by number, levels of those who come, work, equipment.

    ``quiet``: the owner's quiet hours that the day runs into.
    """

    coming: int
    fewest: int
    leads: int
    levels: tuple[Mapping[str, Level], ...]
    without_waiver: int
    open_questions: int
    work: tuple[Work, ...]
    there: Mapping[str, int]
    rain_date_covered: bool = True
    quiet: tuple[Quiet, ...] = ()
    minors: int = 0


def _people_gaps(facts: DeskFacts) -> Iterator[Gap]:
    if facts.coming < facts.fewest:
        who = (
            "Nobody comes"
            if not facts.coming
            else counted(facts.coming, "person comes", "people come")
        )
        yield Gap("few", f"{who}; {facts.fewest} are the fewest for this day.", Page.DESK)
    if facts.without_waiver:
        who = counted(facts.without_waiver, "person who comes has", "people who come have")
        yield Gap("waiver", f"{who} no valid waiver and cannot be in the plan.", Page.DESK)
    if facts.open_questions:
        who = counted(facts.open_questions, "person has", "people have")
        yield Gap("question", f"{who} not said yes to the new date yet.", Page.DESK)
    if lacking := adults_lacking(adults=facts.coming - facts.minors, minors=facts.minors):
        yield Gap("adults", lacking, Page.DESK)
    if facts.coming and not facts.leads:
        yield Gap("lead", "Nobody who comes leads a crew.", Page.DESK)


def _best(facts: DeskFacts, skill: str) -> Level:
    return max((levels.get(skill, Level.NEW) for levels in facts.levels), default=Level.NEW)


def _work_gaps(facts: DeskFacts) -> Iterator[Gap]:
    if not facts.work:
        yield Gap("jobs", "No job is chosen for this day.", Page.JOBS)
    for work in facts.work:
        asked = Level.SUPERVISOR if work.needs_supervisor else work.leader_level
        if work.skill and facts.coming and _best(facts, work.skill) < asked:
            who = "supervises" if asked is Level.SUPERVISOR else f"is {asked.word} in"
            many = counted(work.jobs, "job needs", "jobs need").lower()
            yield Gap(
                f"leader_{work.skill}",
                f"Nobody who comes {who} {work.kind.lower()}; {many} it.",
                Page.JOBS,
            )


def _equipment_gaps(facts: DeskFacts) -> Iterator[Gap]:
    needed: dict[str, int] = {}
    for work in facts.work:
        for name, count in work.uses.items():
            needed[name] = max(needed.get(name, 0), count)
    for name, count in needed.items():
        there = facts.there.get(name, 0)
        if there < count:
            have = f"{there or 'none'} {'is' if there < 2 else 'are'} there"
            yield Gap(
                "equipment",
                f"{name[:1].upper()}{name[1:]}: a job needs {count}; {have}.",
                Page.EDIT,
            )


def gaps(facts: DeskFacts) -> list[Gap]:
    """Return what is missing, people first, then work and equipment."""
    found: list[Gap] = [*_people_gaps(facts), *_work_gaps(facts), *_equipment_gaps(facts)]
    if not facts.rain_date_covered:
        found.append(
            Gap("rain", "No permission of the owner covers the rain date.", Page.PERMISSIONS)
        )
    found += [
        Gap("quiet", f"The day runs into the owner's quiet hours, {span(hours)}.", Page.EDIT)
        for hours in facts.quiet
    ]
    return found


def limits(*, lift: bool, kneel: bool, stand: bool) -> str:
    """Return what somebody cannot do: "no lifting, no kneeling"; empty when nothing is."""
    named = {"lifting": lift, "kneeling": kneel, "long standing": stand}
    return ", ".join(f"no {word}" for word, is_so in named.items() if is_so)


def level_words(levels: Mapping[str, Level], names: Mapping[str, str]) -> str:
    """Return the levels above new, the highest first: "gentle cleaning: signed off"."""
    held: Iterable[tuple[str, Level]] = sorted(
        ((s, level) for s, level in levels.items() if level > Level.NEW),
        key=lambda pair: (-pair[1], pair[0]),
    )
    return ", ".join(f"{names.get(s, s).lower()}: {level.word}" for s, level in held) or "new"


@dataclass(frozen=True, slots=True)
class PartyFacts:
    """The party of one person: ``others`` of it on the list; who leads it, if anybody."""

    name: str
    is_group: bool = False
    leader: str = ""
    is_leader: bool = False
    others: int = 0


def party_words(party: PartyFacts | None) -> str:
    """Return how somebody belongs to a party, as seen from them: whoever leads is not "with" it."""
    if party is None or not party.name:
        return ""
    if party.is_leader and party.is_group:
        return f"leads {party.name}"
    if party.is_leader:
        return f"brings {counted(party.others, 'other', 'others').lower()}" if party.others else ""
    if not party.leader or party.leader in party.name:
        return party.name
    return f"{party.name}, led by {party.leader}"


def level_part(skill: str, level: Level) -> str:
    """Return the part of a list that holds a level: "gentle cleaning: practised or above"."""
    above = "" if level is max(Level) else " or above"
    return f"{skill.lower()}: {level.word}{above}"


def bring_part(equipment: str) -> str:
    """Return the part of a list that brings something: "brings: bucket with brushes"."""
    return f"brings: {equipment.lower()}"


def bring_words(brings: Mapping[str, int], names: Mapping[str, str]) -> str:
    """Return what somebody brings: "2 x bucket with brushes, 1 x truck"."""
    return ", ".join(f"{count} x {names.get(key, key)}" for key, count in brings.items())
