"""A crew plan as the facts of its drawing."""

from datetime import datetime
from itertools import groupby

from workdays.drawing import timeline
from workdays.drawing.timeline import BandFacts, BarFacts, CrewFacts
from workdays.models import Block, Workday
from workdays.queries.blocks import blocks_of
from workdays.queries.crews import CrewView, JobView
from workdays.queries.plan_page import PlanPage
from workdays.queries.weather import Outlook, outlook
from workdays.rules.counting import heads
from workdays.rules.weather import HOUR, HourVerdict, Verdict, gravest


def timeline_of(day: Workday, page: PlanPage) -> timeline.Picture | None:
    """Return the drawing of a plan; None where there is no crew."""
    if not page.crews:
        return None
    found = outlook(day)
    facts = timeline.DayFacts(
        title=f"Crew plan of {day.cemetery}",
        begin=_minute(day, day.starts_at),
        end=_minute(day, day.ends_at),
        crews=tuple(_crews(day, page, found)),
        bands=tuple(_breaks(day) + _weather(day, page, found)),
    )
    return timeline.draw(facts)


def _minute(day: Workday, moment: datetime) -> int:
    """Return minutes since midnight of the day's date; the clock at its start decides."""
    start = day.starts_at.astimezone(day.cemetery.zone)
    passed = (moment - day.starts_at).total_seconds() / 60
    return round(start.hour * 60 + start.minute + passed)


def _crews(day: Workday, page: PlanPage, found: Outlook | None) -> list[CrewFacts]:
    named: dict[str, list[CrewView]] = {}
    for crew in page.crews:
        named.setdefault(crew.name, []).append(crew)
    return [_crew(day, name, views, found) for name, views in named.items()]


def _crew(day: Workday, name: str, views: list[CrewView], found: Outlook | None) -> CrewFacts:
    people = max(len(view.people) for view in views)
    bars = [bar for view in views for bar in _bars(day, view, found)]
    return CrewFacts(
        name=name,
        words=(f"{views[0].lead.name} leads", heads(people)),
        bars=tuple(bars),
    )


def _bars(day: Workday, view: CrewView, found: Outlook | None) -> list[BarFacts]:
    """Return one bar for each run of jobs of a kind in one section."""
    bars = []
    for (kind, section), run in groupby(view.jobs, key=lambda job: (job.kind, job.section)):
        jobs = list(run)
        watched = any(_on_watch(found, job) for job in jobs)
        bars.append(
            BarFacts(
                begin=_minute(day, jobs[0].starts_at),
                end=_minute(day, jobs[-1].ends_at),
                sign=kind.sign,
                title=kind.name,
                text=f"{section} {', '.join(job.stone for job in jobs if job.stone)}".strip(),
                watch=watched,
            )
        )
    return bars


def _on_watch(found: Outlook | None, job: JobView) -> bool:
    if found is None:
        return False
    rows = found.verdicts.get(job.kind.key, ())
    return any(
        row.verdict is Verdict.WATCH and row.at < job.ends_at and row.at + HOUR > job.starts_at
        for row in rows
    )


def _breaks(day: Workday) -> list[BandFacts]:
    rows = [block for block in blocks_of(day) if block.kind == Block.Kind.BREAK]
    return [
        BandFacts(_minute(day, row.starts_at), _minute(day, row.ends_at), "break", row.name)
        for row in rows
    ]


def _weather(day: Workday, page: PlanPage, found: Outlook | None) -> list[BandFacts]:
    """Return the hours in which some work of the plan is on watch or off, and which work."""
    if found is None:
        return []
    kinds = sorted({job.kind.key for crew in page.crews for job in crew.jobs})
    rows = [(key, found.verdicts[key]) for key in kinds if key in found.verdicts]
    hours = list(zip(*(verdicts for _, verdicts in rows), strict=True))
    words = [_doubts([key for key, _ in rows], hour) for hour in hours]
    bands = []
    for (verdict, word), run in groupby(zip(words, hours, strict=True), key=lambda pair: pair[0]):
        stretch = [hour[0].at for _, hour in run]
        if verdict is not Verdict.ON:
            begin = max(_minute(day, stretch[0]), _minute(day, day.starts_at))
            end = min(_minute(day, stretch[-1] + HOUR), _minute(day, day.ends_at))
            bands.append(BandFacts(begin, end, verdict.value, word))
    return bands


def _doubts(kinds: list[str], hour: tuple[HourVerdict, ...]) -> tuple[Verdict, str]:
    """Return the gravest verdict of an hour, and the kinds of work that have it."""
    worst = gravest(row.verdict for row in hour)
    named = [kind for kind, row in zip(kinds, hour, strict=True) if row.verdict is worst]
    return worst, f"{', '.join(named)}: {worst.value}"
