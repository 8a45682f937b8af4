"""What the chains of all stones of a cemetery ask for and is not there yet."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.paginator import Page, Paginator

from workdays.models import Cemetery, ChainStep, Stone
from workdays.queries.address import query_string
from workdays.queries.chains import Chains, chains_for, with_chain
from workdays.queries.stones import StoneRow, stone_row
from workdays.rules.chain_words import asks_heading, time_words

STONES_A_PAGE = 50


@dataclass(frozen=True)
class StoneAsks:
    """A stone and the steps that it asks for, each with its person-minutes.

    Raking stands at the first stone of its section.
    """

    stone: Stone
    steps: list[tuple[ChainStep, int]]

    @property
    def names(self) -> list[str]:
        """Return the jobs in order, in the words of their steps."""
        return [step.words or step.kind.name for step, _minutes in self.steps]

    @property
    def time(self) -> str:
        """Return how much work it is."""
        return time_words(sum(minutes for _step, minutes in self.steps))


@dataclass(frozen=True)
class Tally:
    """How much one section, or one kind of work, asks for; ``key`` chooses it in an address.

    ``hours``: of work for one person.
    """

    key: str
    name: str
    sign: str
    stones: int
    jobs: int
    hours: str


@dataclass(frozen=True)
class AsksFilter:
    """What was asked for: a section's id, a kind's key; empty: all. Nonsense asks for nothing."""

    section: str = ""
    kind: str = ""

    @classmethod
    def from_query(cls, query: Mapping[str, str]) -> "AsksFilter":
        """Return the filter of an address."""
        return cls(query.get("section", "")[:12], query.get("kind", "")[:50])

    @property
    def address(self) -> str:
        """Return the filter as the start of a query string for the links between pages."""
        given = {"section": self.section, "kind": self.kind}
        return query_string(given)

    def holds(self, ask: StoneAsks) -> bool:
        """Return whether a stone is one of those asked for."""
        here = not self.section or str(ask.stone.section_id) == self.section
        return here and (not self.kind or any(s.kind.key == self.kind for s, _ in ask.steps))


@dataclass(frozen=True)
class CemeteryChains:
    """Everything that the page of a cemetery's chains shows; ``chosen`` names the filter."""

    heading: str
    jobs: int
    time: str
    sections: list[Tally]
    kinds: list[Tally]
    asked: AsksFilter
    chosen: str
    stones: "Page[StoneAsks]"
    rows: list[tuple[StoneRow, StoneAsks]]


def cemetery_chains(
    cemetery: Cemetery, query: Mapping[str, str], *, now: datetime
) -> CemeteryChains:
    """Return what all stones ask for, counted by section and kind, fifty stones a page."""
    stones = Stone.objects.filter(cemetery=cemetery)
    chains = chains_for(stones, cemetery, now=now)
    asking = [ask for ask in (_asks(stone, chains) for stone in with_chain(stones)) if ask.steps]
    sections, kinds = _by_section(asking), _by_kind(asking)
    asked, chosen = _known(AsksFilter.from_query(query), sections, kinds)
    found = [ask for ask in asking if asked.holds(ask)]
    page = Paginator(found, STONES_A_PAGE).get_page(query.get("page", ""))
    minutes = [minutes for ask in asking for _step, minutes in ask.steps]
    return CemeteryChains(
        heading=asks_heading(cemetery.name, len(asking), len(minutes)),
        jobs=len(minutes),
        time=time_words(sum(minutes)),
        sections=sections,
        kinds=kinds,
        asked=asked,
        chosen=chosen,
        stones=page,
        rows=[(stone_row(ask.stone, on=chains.on), ask) for ask in page],
    )


def _asks(stone: Stone, chains: Chains) -> StoneAsks:
    steps = [chains.steps[new.step] for new, _pk in chains.steps_to_add(stone)]
    return StoneAsks(stone, [(step, chains.takes(step, stone).minutes) for step in steps])


def _known(
    asked: AsksFilter, sections: Sequence[Tally], kinds: Sequence[Tally]
) -> tuple[AsksFilter, str]:
    """Return the part of a filter that means something here, and its names."""
    section = next((tally for tally in sections if tally.key == asked.section), None)
    kind = next((tally for tally in kinds if tally.key == asked.kind), None)
    known = AsksFilter(section.key if section else "", kind.key if kind else "")
    return known, ", ".join(tally.name for tally in (section, kind) if tally)


def _by_section(asking: Iterable[StoneAsks]) -> list[Tally]:
    rows = [(ask.stone.section, ask, minutes) for ask in asking for _step, minutes in ask.steps]
    named = {section.pk: (str(section.pk), section.name, "") for section, _, _ in rows}
    return _tallies((named[section.pk], ask, minutes) for section, ask, minutes in rows)


def _by_kind(asking: Iterable[StoneAsks]) -> list[Tally]:
    rows = [(step.kind, ask, minutes) for ask in asking for step, minutes in ask.steps]
    found = _tallies(((kind.key, kind.name, kind.sign), ask, n) for kind, ask, n in rows)
    return sorted(found, key=lambda tally: -tally.jobs)


def _tallies(rows: Iterable[tuple[tuple[str, str, str], StoneAsks, int]]) -> list[Tally]:
    minutes: dict[tuple[str, str, str], list[int]] = {}
    stones: dict[tuple[str, str, str], set[int]] = {}
    for named, ask, person_minutes in rows:
        minutes.setdefault(named, []).append(person_minutes)
        stones.setdefault(named, set()).add(ask.stone.pk)
    return [
        Tally(*named, len(stones[named]), len(each), f"{sum(each) / 60:.1f}")
        for named, each in minutes.items()
    ]
