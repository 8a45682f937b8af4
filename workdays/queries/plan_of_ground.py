"""One cemetery drawn: what each stone needs, or those that were asked for, and in words."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.core.paginator import Page, Paginator

from workdays.drawing import areas, ground
from workdays.drawing.ground_facts import CrewFacts, GroundFacts, SectionFacts, StoneFacts
from workdays.drawing.parts import Part, natural, parts_of
from workdays.drawing.signs import STATE_WORDS
from workdays.models import Cemetery, Permission
from workdays.queries.ground import leave_words, permissions_of
from workdays.queries.plan_asked import ORDERS, Asked, Choices, asked_of, choices_at, sought
from workdays.queries.plan_stones import Drawn, drawn_at
from workdays.rules import plan_words

MOST_DRAWN = 600
ROWS_A_PAGE = 50
FEW_CREWS, FEW_NOTES = 6, 2
ORDER_WORDS = {"row": "row", "number": "number"}


@dataclass(frozen=True)
class PlaceLink:
    """A section or a part of one: how many stones, how many of them are meant, its address."""

    name: str
    href: str
    stones: int
    meant: int
    states: str
    chosen: bool = False


@dataclass(frozen=True)
class TableRow:
    """One stone behind the picture; ``needs`` are all its states in words."""

    facts: StoneFacts
    section: str
    needs: str


@dataclass(frozen=True)
class Way:
    """A link to the same page asked for otherwise; ``chosen`` is the one that is shown."""

    words: str
    href: str
    chosen: bool


@dataclass(frozen=True)
class CemeteryPage:
    """Everything on the page of one cemetery, or of one section or part of one.

    ``heading`` and ``leave`` are sentences. ``picture`` draws single stones, or ``areas`` the
    sections or parts where there are too many. ``places`` lead to sections, ``parts`` to parts.
    """

    asked: Asked
    choices: Choices
    heading: str
    leave: str
    extent: str
    picture: ground.Picture | None
    areas: areas.Picture | None
    places: tuple[PlaceLink, ...]
    parts: tuple[PlaceLink, ...]
    rows: tuple[TableRow, ...]
    table: "Page[tuple[str, StoneFacts]]"
    stone_count: int
    permissions: list[Permission]
    most_drawn: int = MOST_DRAWN

    @property
    def whole_sections(self) -> list[str]:
        """Return the sections that are meant as a whole: "Old hill: raking and debris, Crew 1"."""
        sections = self.picture.sections if self.picture else self.areas.areas if self.areas else ()
        return [
            f"{one.facts.name}: {', '.join([one.facts.note, *one.facts.crews])}"
            for one in sections
            if one.facts.note
        ]

    @property
    def listed(self) -> tuple[PlaceLink, ...]:
        """Return what the areas stand for."""
        return self.parts or self.places

    @property
    def ways(self) -> list[Way]:
        """Return the usual ways to ask: what each stone needs, ready, the crews of coming days."""
        return list(_ways(self.asked, self.choices))

    @property
    def whole_href(self) -> str:
        """Return the address of the whole cemetery with the same stones asked for."""
        return self.asked.at(None)

    @property
    def all_href(self) -> str:
        """Return the address of the same place with no stones asked for."""
        return Asked(section=self.asked.section, part=self.asked.part).href

    @property
    def open_filter(self) -> bool:
        """Return whether what was asked for is none of the usual ways."""
        return self.asked.filtered and not any(way.chosen for way in self.ways)

    @property
    def orders(self) -> list[Way]:
        """Return the orders of the table."""
        return [
            Way(words, f"{replace(self.asked, order=order).href}#table", order == self.asked.order)
            for order, words in ORDER_WORDS.items()
        ]

    @property
    def before_href(self) -> str:
        """Return the address of the table's page before; empty on the first."""
        return self._turned(self.table.number - 1) if self.table.has_previous() else ""

    @property
    def after_href(self) -> str:
        """Return the address of the table's next page; empty on the last."""
        return self._turned(self.table.number + 1) if self.table.has_next() else ""

    @property
    def open_table(self) -> bool:
        """Return whether somebody is reading in the table."""
        return self.table.number > 1 or self.asked.order != ORDERS[0]

    def _turned(self, number: int) -> str:
        joint = "&" if self.asked.address else ""
        return f"?{self.asked.address}{joint}page={number}#table"


def _ways(asked: Asked, choices: Choices) -> Iterator[Way]:
    here = Asked(section=asked.section, part=asked.part)
    plain = replace(asked, order=ORDERS[0], ignored=())
    yield Way("what each stone needs", here.href, plain == here)
    ready = replace(here, ready_on=choices.next_on)
    yield Way(f"ready {choices.when(choices.next_on)}", ready.href, plain == ready)
    for crew in choices.crews:
        if not crew.name:
            way = replace(here, crew=crew)
            yield Way(f"crews of {crew.day_words}", way.href, plain == way)


@dataclass(frozen=True)
class Sheet:
    """A plan for one sheet of paper: every stone of the cemetery, section or part asked for."""

    asked: Asked
    choices: Choices
    heading: str
    filter_words: str
    picture: ground.Picture

    @property
    def crowded(self) -> bool:
        """Return whether the key needs so many lines that the drawing must give way."""
        return len(self.picture.badges) > FEW_CREWS or len(self.picture.notes) > FEW_NOTES


def cemetery_page(cemetery: Cemetery, query: Mapping[str, str], *, now: datetime) -> CemeteryPage:
    """Return a cemetery as a plan with its sentences, as its address asks."""
    choices = choices_at(cemetery, now=now)
    asked = asked_of(query, choices)
    drawn = drawn_at(cemetery, asked, choices)
    parts = _parts(drawn, asked)
    asked, part = _part_of(asked, parts)
    scope = _scope(drawn, asked, part)
    permissions = list(permissions_of(cemetery))
    facts = _facts(cemetery, scope, drawn)
    many = part is None and _count(scope) > MOST_DRAWN
    table = _table(scope, asked, page=query.get("page", ""))
    return CemeteryPage(
        asked=asked,
        choices=choices,
        heading=_heading(cemetery, asked, choices, drawn, scope, part),
        leave=leave_words(permissions, on=choices.next_on),
        extent=_extent(_count(scope), 0 if asked.section else len(choices.sections)),
        picture=None if many else ground.draw(facts, room=_room(asked)),
        areas=_areas(facts, parts, asked) if many else None,
        places=_places(drawn, asked, choices),
        parts=_part_links(parts, asked) if len(parts) > 1 else (),
        rows=tuple(
            TableRow(facts, name, drawn.needs[facts.number]) for name, facts in table.object_list
        ),
        table=table,
        stone_count=_count(scope),
        permissions=permissions,
    )


def cemetery_sheet(cemetery: Cemetery, query: Mapping[str, str], *, now: datetime) -> Sheet:
    """Return the same plan for paper: all stones that the address asks for, without links."""
    choices = choices_at(cemetery, now=now)
    asked = asked_of(query, choices)
    drawn = drawn_at(cemetery, asked, choices, links=False)
    asked, part = _part_of(asked, _parts(drawn, asked))
    scope = _scope(drawn, asked, part)
    return Sheet(
        asked=asked,
        choices=choices,
        heading=_heading(cemetery, asked, choices, drawn, scope, part),
        filter_words=plan_words.filter_words(sought(asked, choices)),
        picture=ground.draw(_facts(cemetery, scope, drawn), room=ground.SHEET),
    )


def _room(asked: Asked) -> ground.Room:
    return ground.CLOSE if asked.section else ground.PAGE


def _parts(drawn: Drawn, asked: Asked) -> tuple[Part, ...]:
    """Return the parts of the section asked for; one where it needs no parts."""
    if asked.section is None:
        return ()
    stones = drawn.sections[asked.section.pk].stones
    return parts_of(stones, most=MOST_DRAWN) if len(stones) > MOST_DRAWN else ()


def _part_of(asked: Asked, parts: Sequence[Part]) -> tuple[Asked, Part | None]:
    """Return the part asked for; one that is not there is said and ignored."""
    if 0 < asked.part <= len(parts):
        return asked, parts[asked.part - 1]
    if not asked.part:
        return asked, None
    said = f"Ignored: there is no part {asked.part} here."
    return replace(asked, part=0, ignored=(*asked.ignored, said)), None


def _scope(drawn: Drawn, asked: Asked, part: Part | None) -> tuple[SectionFacts, ...]:
    """Return what the page is about: all sections, one, or a part of one."""
    if asked.section is None:
        return tuple(drawn.sections.values())
    section = drawn.sections[asked.section.pk]
    if part is None:
        return (replace(section, href=""),)
    return (replace(section, href="", name=f"{section.name}, {part.name}", stones=part.stones),)


def _count(scope: Sequence[SectionFacts]) -> int:
    return sum(len(section.stones) for section in scope)


def _facts(cemetery: Cemetery, scope: tuple[SectionFacts, ...], drawn: Drawn) -> GroundFacts:
    return GroundFacts(
        title=f"Plan of {cemetery.name}",
        sections=tuple(replace(one, outline=()) if _cut(one, drawn) else one for one in scope),
        crews=tuple(CrewFacts(crew.name, f"{crew.lead} leads") for crew in drawn.crews),
    )


def _cut(section: SectionFacts, drawn: Drawn) -> bool:
    """Return whether this is a part of a section, whose outline would be mostly empty."""
    return all(section.name != whole.name for whole in drawn.sections.values())


def _areas(facts: GroundFacts, parts: Sequence[Part], asked: Asked) -> areas.Picture:
    """Return the sections as areas, or the parts of the section asked for."""
    if parts:
        sections = tuple(
            SectionFacts(part.name, part.stones, href=asked.at(asked.section, number))
            for number, part in enumerate(parts, 1)
        )
        facts = replace(facts, sections=sections)
    return areas.draw_areas(facts, asked=asked.filtered)


def _heading(
    cemetery: Cemetery,
    asked: Asked,
    choices: Choices,
    drawn: Drawn,
    scope: Sequence[SectionFacts],
    part: Part | None,
) -> str:
    place = f"{cemetery.name}, {scope[0].name}" if asked.section else cemetery.name
    stones = [stone for section in scope for stone in section.stones]
    if asked.filtered:
        whole = 0 if part else sum(bool(section.note) for section in scope)
        marked = sum(stone.marked for stone in stones)
        return plan_words.heading(place, sought(asked, choices), stones=marked, sections=whole)
    return plan_words.heading_of_all(
        place,
        ready=sum(stone.number in drawn.ready for stone in stones),
        alone=sum(stone.state == "leave_alone" for stone in stones),
        when=choices.when(choices.next_on),
    )


def _extent(stones: int, sections: int) -> str:
    said = f"{stones} {'stone' if stones == 1 else 'stones'}"
    if not sections:
        return f"{said}."
    return f"{said} in {sections} {'section' if sections == 1 else 'sections'}."


def _places(drawn: Drawn, asked: Asked, choices: Choices) -> tuple[PlaceLink, ...]:
    """Return each section; only what was read is counted."""
    return tuple(
        _link(
            section.name,
            drawn.sections[section.pk].stones if section.pk in drawn.sections else (),
            asked.at(section),
            chosen=section == asked.section,
        )
        for section in choices.sections
    )


def _part_links(parts: Sequence[Part], asked: Asked) -> tuple[PlaceLink, ...]:
    return tuple(
        _link(part.name, part.stones, asked.at(asked.section, n), chosen=asked.part == n)
        for n, part in enumerate(parts, 1)
    )


def _link(name: str, stones: Sequence[StoneFacts], href: str, *, chosen: bool) -> PlaceLink:
    counts = Counter(stone.state for stone in stones)
    states = ", ".join(
        f"{counts[state]} {words}" for state, words in STATE_WORDS.items() if counts[state]
    )
    meant = sum(stone.marked for stone in stones)
    return PlaceLink(name, href, len(stones), meant, states, chosen)


def _table(
    scope: Sequence[SectionFacts], asked: Asked, *, page: str
) -> "Page[tuple[str, StoneFacts]]":
    """Return a page of the stones meant, or of all, by row or by number."""
    found = [
        (section.name, stone)
        for section in scope
        for stone in section.stones
        if stone.marked or not asked.filtered
    ]
    if asked.order == "number":
        found.sort(key=lambda pair: natural(pair[1].number))
    return Paginator(found, ROWS_A_PAGE).get_page(page)
