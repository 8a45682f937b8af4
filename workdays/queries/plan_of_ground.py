"""One cemetery drawn: what each stone needs, what is ready on the next day, and in words."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse

from workdays.drawing.ground import Picture, draw
from workdays.drawing.ground_facts import GroundFacts, SectionFacts, StoneFacts
from workdays.models import Cemetery, Job, Permission, Section, Stone, Workday
from workdays.queries.ground import leave_words, permissions_of, stones_of, today_at
from workdays.queries.readiness import readiness_of
from workdays.queries.stone_facts import mark_of
from workdays.rules.triage import Mark
from workdays.rules.wall_clock import day_words

SHOWS = ("needs", "ready")


@dataclass(frozen=True)
class NextDay:
    """The next day at a cemetery, its date there, and the date in words."""

    day: Workday
    on: date
    words: str


@dataclass(frozen=True)
class CemeteryPage:
    """Everything on the page of one cemetery.

    ``heading`` and ``leave`` are sentences; ``on_words`` names the date that the heading and
    the ready stones are for.
    """

    show: str
    heading: str
    leave: str
    extent: str
    on_words: str
    next_day: NextDay | None
    picture: Picture
    stone_count: int
    ready_count: int
    sections: list[Section]
    permissions: list[Permission]


def cemetery_page(cemetery: Cemetery, *, show: str, now: datetime) -> CemeteryPage:
    """Return a cemetery as a plan with its sentences; the next day decides which date counts."""
    today = today_at(cemetery, now=now)
    following = next_day(cemetery, now=now)
    on = following.on if following else today
    stones, sections = list(stones_of(cemetery)), list(cemetery.sections.order_by("order", "pk"))
    permissions = list(permissions_of(cemetery))
    ready = ready_stones(cemetery, on=on)
    when = following.words if following else "today"
    alone = sum(mark_of(stone, on=on) is Mark.LEAVE_ALONE for stone in stones)
    facts = _facts(cemetery, sections, stones, on=on, ready=ready if show == "ready" else None)
    return CemeteryPage(
        show=show,
        heading=_heading(cemetery, len(ready), alone, _short(following)),
        leave=leave_words(permissions, on=on),
        extent=_extent(len(stones), len(sections)),
        on_words=when,
        next_day=following,
        picture=draw(facts),
        stone_count=len(stones),
        ready_count=len(ready),
        sections=sections,
        permissions=permissions,
    )


def next_day(cemetery: Cemetery, *, now: datetime) -> NextDay | None:
    """Return the next day that is neither over nor called off."""
    days = cemetery.days.filter(
        ends_at__gt=now, state__in=(Workday.State.DRAFT, Workday.State.OPEN)
    )
    day = days.order_by("starts_at", "pk").first()
    if day is None:
        return None
    on = day.starts_at.astimezone(cemetery.zone).date()
    return NextDay(day, on, day_words(on, today=today_at(cemetery, now=now)))


def ready_stones(cemetery: Cemetery, *, on: date) -> set[int]:
    """Return the ids of the stones at which some job is ready on a date."""
    jobs = list(cemetery.jobs.filter(state=Job.State.OPEN, stone__isnull=False))
    readiness = readiness_of(jobs, on)
    return {job.stone_id for job in jobs if job.stone_id and not readiness[job.pk]}


def _short(following: NextDay | None) -> str:
    return f"on {following.words}" if following else "today"


def _heading(cemetery: Cemetery, ready: int, alone: int, when: str) -> str:
    stones = "1 stone" if ready == 1 else f"{ready} stones"
    sentence = f"{cemetery.name}: {stones} can be worked {when}"
    return f"{sentence}, {alone} must be left alone" if alone else sentence


def _extent(stones: int, sections: int) -> str:
    return (
        f"{stones} {'stone' if stones == 1 else 'stones'} in "
        f"{sections} {'section' if sections == 1 else 'sections'}."
    )


def _facts(
    cemetery: Cemetery,
    sections: Iterable[Section],
    stones: list[Stone],
    *,
    on: date,
    ready: set[int] | None,
) -> GroundFacts:
    by_section: dict[int, list[StoneFacts]] = {}
    for stone in stones:
        drawn = _stone(stone, on=on, ready=ready)
        by_section.setdefault(stone.section_id, []).append(drawn)
    return GroundFacts(
        title=f"Plan of {cemetery.name}",
        sections=tuple(
            SectionFacts(
                name=section.name,
                stones=tuple(by_section.get(section.pk, ())),
                outline=tuple((float(east), float(north)) for east, north in section.outline),
            )
            for section in sections
        ),
    )


def _stone(stone: Stone, *, on: date, ready: set[int] | None) -> StoneFacts:
    is_ready = ready is not None and stone.pk in ready
    return StoneFacts(
        number=stone.number,
        type=stone.type,
        state=mark_of(stone, on=on).value,
        href=reverse("stone", args=[stone.pk]),
        row=stone.row,
        position=stone.position,
        east_m=stone.east_m,
        north_m=stone.north_m,
        note="work is ready" if is_ready else "",
        marked=is_ready,
    )
