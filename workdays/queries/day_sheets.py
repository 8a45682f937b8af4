"""The sheets of a day: one for the day, one for each crew with its map, and talk and load list."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from workdays.drawing.crew_map import Picture
from workdays.models import CrewPlan, KindOfWork, SignUp, Workday
from workdays.queries.blocks import blocks_of
from workdays.queries.brought import BroughtBy, lines_of
from workdays.queries.crew_maps import maps_of
from workdays.queries.crews import (
    CrewView,
    JobView,
    cautions,
    equipment_names,
    equipment_words,
    lift_cautions,
)
from workdays.queries.gone import left_since
from workdays.queries.load_page import LoadPage, load_page
from workdays.queries.loads import Work, items_of, work_of
from workdays.queries.plan_page import PlanPage, plan_page
from workdays.queries.sign_ups import coming_by_name
from workdays.queries.talk_page import TalkPage, talk_page
from workdays.queries.terms import terms_of_day
from workdays.queries.weather import outlook
from workdays.rules.brought import most_at_once
from workdays.rules.crew_naming import number_of
from workdays.rules.lift_cautions import Line


@dataclass(frozen=True)
class Stop:
    """One job with its number in the crew's order of work over the whole day."""

    number: int
    job: JobView


@dataclass(frozen=True)
class BlockSheet:
    """A crew in one block, its jobs numbered."""

    crew: CrewView
    stops: tuple[Stop, ...]


@dataclass(frozen=True)
class CrewSheet:
    """One crew over the whole day. ``fetch`` is what it needs at once, ``used`` what is used up."""

    pk: int
    name: str
    blocks: tuple[BlockSheet, ...]
    map: Picture | None
    kinds: list[KindOfWork]
    lift_lines: list[Line]
    fetch: list[str]
    used: list[str]


@dataclass(frozen=True)
class DaySheets:
    """What is printed for a day; each part is read once a sheet shows it."""

    day: Workday
    page: PlanPage

    @property
    def is_draft(self) -> bool:
        """Return whether nobody has published what is shown."""
        return self.page.plan is not None and self.page.plan.state == CrewPlan.State.DRAFT

    @cached_property
    def crews(self) -> tuple[CrewSheet, ...]:
        """The sheet of each crew over the whole day, in the order of their numbers."""
        return _crew_sheets(self.page.crews, self._work, self._names)

    @cached_property
    def gone(self) -> tuple[str, ...]:
        """Who is on these sheets, but does not come any more."""
        return left_since(self.day, self.page.crews, self._sign_ups)

    @property
    def blocks(self) -> list[BlockSheet]:
        """All crews in the order of the day."""
        by_pk = {block.crew.pk: block for sheet in self.crews for block in sheet.blocks}
        return [by_pk[crew.pk] for crew in self.page.crews]

    @cached_property
    def terms(self) -> list[str]:
        """What the owner asks."""
        return terms_of_day(self.day).sentences

    @cached_property
    def brought(self) -> list[BroughtBy]:
        """Who brings what."""
        return lines_of(self.day, self._sign_ups)

    @cached_property
    def talk(self) -> TalkPage:
        """What is said before work begins."""
        return talk_page(self.day, self.page, self._work, self._sign_ups, outlook(self.day))

    @cached_property
    def load(self) -> LoadPage:
        """What has to be loaded; how hot it may be is known from the talk."""
        day, hot = self.day, self.talk.may_be_hot
        return load_page(day, self.page, self._work, self._sign_ups, self._names, hot=hot)

    @cached_property
    def _work(self) -> Work:
        return work_of(self.day, self.page)

    @cached_property
    def _names(self) -> dict[str, str]:
        return equipment_names()

    @cached_property
    def _sign_ups(self) -> list[SignUp]:
        return list(coming_by_name(self.day))

    def crew(self, pk: int) -> CrewSheet | None:
        """Return the sheet of the crew with a number, in whichever block; None: not of this day."""
        return next(
            (one for one in self.crews if any(block.crew.pk == pk for block in one.blocks)), None
        )


def day_sheets(day: Workday) -> DaySheets:
    """Return the sheets of a day; as many statements for sixty crews as for one."""
    page = plan_page(day)
    blocks_of(day)
    return DaySheets(day, page)


def _numbered(crews: Sequence[CrewView]) -> dict[str, list[tuple[int, JobView]]]:
    """Return the jobs of each crew, by name, numbered over the day."""
    jobs: dict[str, list[JobView]] = {}
    for crew in crews:
        jobs.setdefault(crew.name, []).extend(crew.jobs)
    return {name: list(enumerate(found, 1)) for name, found in jobs.items()}


def _crew_sheets(
    crews: Sequence[CrewView], work: Work, names: Mapping[str, str]
) -> tuple[CrewSheet, ...]:
    numbered = _numbered(crews)
    maps = maps_of(numbered)
    by_name: dict[str, list[CrewView]] = {}
    for crew in crews:
        by_name.setdefault(crew.name, []).append(crew)
    return tuple(
        _crew_sheet(by_name[name], numbered[name], work, names, maps[name])
        for name in sorted(numbered, key=number_of)
    )


def _crew_sheet(
    crews: Sequence[CrewView],
    numbered: Sequence[tuple[int, JobView]],
    work: Work,
    names: Mapping[str, str],
    drawn: Picture | None,
) -> CrewSheet:
    numbers = {job.pk: number for number, job in numbered}
    used = items_of([job.job for _, job in numbered], work)
    return CrewSheet(
        pk=crews[0].pk,
        name=crews[0].name,
        blocks=tuple(
            BlockSheet(crew, tuple(Stop(numbers[job.pk], job) for job in crew.jobs))
            for crew in crews
        ),
        map=drawn,
        kinds=cautions(crews),
        lift_lines=lift_cautions(crews),
        fetch=equipment_words(most_at_once(crew.equipment for crew in crews), names),
        used=[f"{item.name}: {item.words}" for item in used],
    )
