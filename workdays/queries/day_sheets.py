"""The sheets of a day: one for the day, one for each crew with its map, and talk and load list."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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
    rank,
)
from workdays.queries.load_page import LoadPage, load_page
from workdays.queries.loads import Work, items_of, work_of
from workdays.queries.plan_page import PlanPage, plan_page
from workdays.queries.talk_page import TalkPage, talk_page
from workdays.queries.terms import terms_of_day
from workdays.queries.weather import outlook
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
    """Everything that is printed for a day. ``blocks`` are all crews in the order of the day."""

    page: PlanPage
    crews: tuple[CrewSheet, ...]
    blocks: tuple[BlockSheet, ...]
    terms: list[str]
    brought: list[BroughtBy]
    load: LoadPage
    talk: TalkPage

    @property
    def is_draft(self) -> bool:
        """Return whether nobody has published what is shown."""
        return self.page.plan is not None and self.page.plan.state == CrewPlan.State.DRAFT

    @property
    def kinds(self) -> list[KindOfWork]:
        """The kinds of work of the day, each once."""
        return cautions(self.page.crews)

    def crew(self, pk: int) -> CrewSheet | None:
        """Return the sheet of the crew with a number, in whichever block; None: not of this day."""
        return next(
            (one for one in self.crews if any(block.crew.pk == pk for block in one.blocks)), None
        )


def day_sheets(day: Workday) -> DaySheets:
    """Return the sheets of a day; as many statements for sixty crews as for one."""
    page = plan_page(day)
    blocks_of(day)
    work = work_of(day, page)
    names = equipment_names()
    sign_ups = _coming(day)
    forecast = outlook(day)
    talk = talk_page(day, page, work, sign_ups, forecast)
    numbered = _numbered(page.crews)
    sheets = _crew_sheets(page.crews, numbered, work, names)
    by_pk = {block.crew.pk: block for sheet in sheets for block in sheet.blocks}
    return DaySheets(
        page=page,
        crews=sheets,
        blocks=tuple(by_pk[crew.pk] for crew in page.crews),
        terms=terms_of_day(day).sentences,
        brought=lines_of(day, sign_ups),
        load=load_page(day, page, work, sign_ups, names, hot=talk.may_be_hot),
        talk=talk,
    )


def _coming(day: Workday) -> list[SignUp]:
    rows = day.sign_ups.filter(state=SignUp.State.COMING)
    return list(rows.select_related("person").order_by("person__name", "pk"))


def _numbered(crews: Sequence[CrewView]) -> dict[str, list[tuple[int, JobView]]]:
    """Return the jobs of each crew, by name, numbered over the day."""
    jobs: dict[str, list[JobView]] = {}
    for crew in crews:
        jobs.setdefault(crew.name, []).extend(crew.jobs)
    return {name: list(enumerate(found, 1)) for name, found in jobs.items()}


def _crew_sheets(
    crews: Sequence[CrewView],
    numbered: Mapping[str, Sequence[tuple[int, JobView]]],
    work: Work,
    names: Mapping[str, str],
) -> tuple[CrewSheet, ...]:
    maps = maps_of(numbered)
    by_name: dict[str, list[CrewView]] = {}
    for crew in crews:
        by_name.setdefault(crew.name, []).append(crew)
    return tuple(
        _crew_sheet(by_name[name], numbered[name], work, names, maps[name])
        for name in sorted(numbered, key=rank)
    )


def _crew_sheet(
    crews: Sequence[CrewView],
    numbered: Sequence[tuple[int, JobView]],
    work: Work,
    names: Mapping[str, str],
    drawn: Picture | None,
) -> CrewSheet:
    numbers = {job.pk: number for number, job in numbered}
    most: dict[str, int] = {}
    for crew in crews:
        for key, amount in crew.equipment.items():
            most[key] = max(most.get(key, 0), amount)
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
        fetch=equipment_words(most, names),
        used=[f"{item.name}: {item.words}" for item in used],
    )
