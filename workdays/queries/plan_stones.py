"""The stones of a cemetery as the facts of its plan, those that were asked for marked."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.urls import reverse

from workdays.drawing.ground_facts import SectionFacts, StoneFacts
from workdays.drawing.plane import Point
from workdays.models import Cemetery, Section, Stone
from workdays.queries.ground import stones_of
from workdays.queries.plan_asked import Asked, Choices, CrewChoice
from workdays.queries.plan_matches import Matches, marks_of, matches_of, ready_stones
from workdays.rules.counting import joined
from workdays.rules.triage import MARK_WORDS, Mark


@dataclass(frozen=True)
class Drawn:
    """What the plan shows: sections by id in their order.

    ``needs`` are all states of each stone in words and ``ready`` the stones with work on the next
    day, by number; ``crews`` are those that were asked for.
    """

    sections: Mapping[int, SectionFacts]
    needs: Mapping[str, str]
    ready: frozenset[str]
    crews: tuple[CrewChoice, ...]


def drawn_at(cemetery: Cemetery, asked: Asked, choices: Choices, *, links: bool = True) -> Drawn:
    """Return the stones of a cemetery, or of the section asked for, ready to be drawn."""
    on = asked.ready_on or choices.next_on
    found = stones_of(cemetery)
    stones = list(found.filter(section=asked.section) if asked.section else found)
    marks = {stone.pk: marks_of(stone, on=on) for stone in stones}
    matches = matches_of(cemetery, asked, marks)
    ready = frozenset[int]()
    if not asked.filtered:
        ready = ready_stones(cemetery, asked.section, on=on)
    facts = _Facts(asked, matches, marks, _reason(asked, choices), links)
    by_section: dict[int, list[StoneFacts]] = {}
    for stone in stones:
        by_section.setdefault(stone.section_id, []).append(facts.of(stone))
    shown = [asked.section] if asked.section else choices.sections
    return Drawn(
        sections={s.pk: facts.section(s, by_section.get(s.pk, ())) for s in shown},
        needs={stone.number: _words(marks[stone.pk]) for stone in stones},
        ready=frozenset(stone.number for stone in stones if stone.pk in ready),
        crews=_crews(asked, choices),
    )


@dataclass(frozen=True)
class _Facts:
    """Makes the facts of stones and sections for what was asked for."""

    asked: Asked
    matches: Matches
    marks: Mapping[int, tuple[Mark, ...]]
    reason: str
    links: bool

    def of(self, stone: Stone) -> StoneFacts:
        """Return one stone, marked if it is meant, faded if others are."""
        marks, meant = self.marks[stone.pk], stone.pk in self.matches.stones
        also = f"also {_words(marks[1:])}" if len(marks) > 1 else ""
        return StoneFacts(
            number=stone.number,
            type=stone.type,
            state=marks[0].value,
            href=reverse("stone", args=[stone.pk]) if self.links else "",
            row=stone.row,
            position=stone.position,
            east_m=stone.east_m,
            north_m=stone.north_m,
            note=also,
            reason=self.reason if meant else "",
            marked=meant,
            faded=self.asked.filtered and not meant,
            crews=self.matches.crews.get(stone.pk, ()),
        )

    def section(self, section: Section, stones: Iterable[StoneFacts]) -> SectionFacts:
        """Return one section; its note says that work on it as a whole is meant."""
        return SectionFacts(
            name=section.name,
            stones=tuple(stones),
            outline=outline_of(section.outline),
            href=self.asked.at(section) if self.links else "",
            note=joined(list(self.matches.sections.get(section.pk, ()))),
            crews=self.matches.section_crews.get(section.pk, ()),
        )


def _reason(asked: Asked, choices: Choices) -> str:
    """Return why stones are marked: "gentle cleaning ready on Saturday 9 May"."""
    work = asked.kind.name.lower() if asked.kind else ""
    ready = f"ready {choices.when(asked.ready_on)}" if asked.ready_on else ""
    return " ".join(filter(None, [work, ready]))


def outline_of(stored: object) -> tuple[Point, ...]:
    """Return the corners of a section; none if what is stored are not corners."""
    try:
        return tuple((float(east), float(north)) for east, north in stored)  # type: ignore[attr-defined]  # JSON
    except (TypeError, ValueError):
        return ()


def _words(marks: Iterable[Mark]) -> str:
    return ", ".join(MARK_WORDS[mark] for mark in marks)


def _crews(asked: Asked, choices: Choices) -> tuple[CrewChoice, ...]:
    """Return the crews to tell apart; those of the day keep their badge when one is asked for."""
    if asked.crew is None:
        return ()
    return tuple(one for one in choices.crews if one.name and one.plan == asked.crew.plan)
