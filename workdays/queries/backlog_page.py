"""The page of a cemetery's jobs, fifty at a time, in at most five statements of its own."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import Max, OuterRef, Q, QuerySet, Subquery

from workdays.models import Cemetery, Job, KindOfWork
from workdays.queries.address import query_string
from workdays.queries.backlog import JobRow, where_of
from workdays.queries.backlog_asked import Asked, asked_first, asked_whole
from workdays.queries.backlog_totals import Group, Total, groups, total
from workdays.queries.blocked import PlaceRules, conditions, held_up, place_rules
from workdays.queries.ground import today_at
from workdays.queries.readiness import Ground, family_facts, prerequisite_facts, why_not
from workdays.rules.backlog_words import REASON_WORDS, SHOW_WORDS, SHOWS, Show, heading
from workdays.rules.wall_clock import day_words

ROWS_A_PAGE = 50


@dataclass(frozen=True)
class Way:
    """A link to other jobs, with how many there are."""

    href: str
    words: str
    jobs: int
    chosen: bool = False


@dataclass(frozen=True)
class TotalRow:
    """What is ready, waits and is over of one kind of work, or in one section."""

    href: str
    name: str
    sign: str
    ready: Total
    waiting: Total
    over: Total


@dataclass(frozen=True)
class BacklogPage:
    """A page of jobs, the lists and reasons to choose from, and what there is in all."""

    heading: str
    asked: Asked
    rows: list[JobRow]
    shows: list[Way]
    reasons: list[Way]
    sections: list[tuple[int, str]]
    kinds: list[KindOfWork]
    by_kind: list[TotalRow]
    by_section: list[TotalRow]
    pages: int
    before: str
    after: str
    all_href: str

    @property
    def ahead(self) -> str:
        """Return the query that looks ahead at the jobs of the same section and kind."""
        kind = self.asked.kind.key if self.asked.kind else ""
        asked = query_string({"section": str(self.asked.section or ""), "kind": kind})
        return f"?{asked}" if asked else ""

    @property
    def day(self) -> str:
        """Return the date on which the jobs are judged, in words."""
        return day_words(self.asked.day, today=self.asked.today)


def backlog_page(cemetery: Cemetery, query: Mapping[str, str], *, now: datetime) -> BacklogPage:
    """Return the jobs that are ready (or that wait, or are over) on a date, as asked for."""
    ground = place_rules(cemetery)
    first = asked_first(query, today=today_at(cemetery, now=now))
    counted = groups(ground, on=first.day, stone=first.stone)
    asked = asked_whole(first, query, counted, ground.kinds)
    kept = [row for row in counted if asked.holds(row)]
    shown = _shown(kept, asked)
    pages = max(1, -(-shown.jobs // ROWS_A_PAGE))
    asked = replace(asked, page=min(asked.page, pages))
    ready, waiting, _over = (_of(kept, show).jobs for show in SHOWS)
    return BacklogPage(
        heading=heading(
            cemetery.name,
            asked.show,
            asked.sought(counted),
            shown=shown.jobs,
            others=waiting if asked.show == "ready" else ready,
        ),
        asked=asked,
        rows=_rows(ground, asked) if shown.jobs else [],
        shows=[_show(kept, asked, show) for show in SHOWS],
        reasons=_reasons(kept, asked),
        sections=list({row.section: row.section_name for row in counted}.items()),
        kinds=list(ground.kinds),
        by_kind=_by_kind(kept, asked, ground.kinds),
        by_section=_by_section(kept, asked),
        pages=pages,
        before=replace(asked, page=asked.page - 1).href if asked.page > 1 else "",
        after=replace(asked, page=asked.page + 1).href if asked.page < pages else "",
        all_href=Asked(today=asked.today, show=asked.show).href,
    )


def _of(rows: Iterable[Group], show: Show) -> Total:
    return total(rows, lambda row: row.show == show)


def _shown(rows: Iterable[Group], asked: Asked) -> Total:
    if asked.reason:
        return total(rows, lambda row: row.waits_for(asked.reason))
    return _of(rows, asked.show)


def _show(rows: Iterable[Group], asked: Asked, show: Show) -> Way:
    words = f"{SHOW_WORDS[show]} {asked.when}" if show == "ready" else SHOW_WORDS[show]
    return Way(asked.showing(show).href, words, _of(rows, show).jobs, asked.show == show)


def _reasons(rows: Iterable[Group], asked: Asked) -> list[Way]:
    """Return why jobs wait, the commonest reason first; empty on the other lists."""
    if asked.show != "waiting":
        return []
    kept = list(rows)
    ways = [
        Way(
            asked.showing("waiting", reason=code).href,
            words,
            total(kept, _waits_for(code)).jobs,
            code == asked.reason,
        )
        for code, words in REASON_WORDS.items()
    ]
    return sorted((way for way in ways if way.jobs), key=lambda way: -way.jobs)


def _waits_for(code: str) -> Callable[[Group], bool]:
    return lambda row: row.waits_for(code)


def _by_kind(rows: Iterable[Group], asked: Asked, kinds: Iterable[KindOfWork]) -> list[TotalRow]:
    kept = list(rows)
    return [
        _total_row(found, replace(asked, kind=kind, page=1), kind.name, kind.sign)
        for kind in kinds
        if (found := [row for row in kept if row.kind == kind.pk])
    ]


def _by_section(rows: Iterable[Group], asked: Asked) -> list[TotalRow]:
    kept = list(rows)
    names = {row.section: row.section_name for row in kept}
    return [
        _total_row(
            [row for row in kept if row.section == pk], replace(asked, section=pk, page=1), name
        )
        for pk, name in names.items()
    ]


def _total_row(rows: list[Group], asked: Asked, name: str, sign: str = "") -> TotalRow:
    ready, waiting, over = (_of(rows, show) for show in SHOWS)
    return TotalRow(asked.href, name, sign, ready, waiting, over)


def _rows(ground: PlaceRules, asked: Asked) -> list[JobRow]:
    jobs = _narrowed(ground, asked).select_related("kind", "section", "stone__conclusion")
    begin = (asked.page - 1) * ROWS_A_PAGE
    if asked.show != "waiting":
        return [JobRow(job, where_of(job), ()) for job in jobs[begin : begin + ROWS_A_PAGE]]
    found = list(jobs.annotate(cleaned_at=_cleaned_at())[begin : begin + ROWS_A_PAGE])
    facts = _facts(ground, found)
    return [JobRow(job, where_of(job), tuple(why_not(job, facts, asked.day))) for job in found]


def _narrowed(ground: PlaceRules, asked: Asked) -> "QuerySet[Job]":
    jobs = ground.place.jobs.all()
    if asked.section:
        jobs = jobs.filter(section=asked.section)
    if asked.kind:
        jobs = jobs.filter(kind=asked.kind)
    if asked.stone:
        jobs = jobs.filter(stone__number__iexact=asked.stone)
    if asked.show == "over":
        return jobs.exclude(state=Job.State.OPEN).order_by("-done_at", "-pk")
    on, reason = asked.day, asked.reason
    wanted = Q(conditions(ground, on=on)[reason]) if reason else held_up(ground, on=on)
    wanted = ~wanted if asked.show == "ready" else wanted
    return jobs.filter(wanted, state=Job.State.OPEN).order_by("-priority", "pk")


def _cleaned_at() -> Subquery:
    """Return when the stone of a job was last wetted by a cleaning; mending does not count."""
    cleaned = Job.objects.filter(
        stone=OuterRef("stone"),
        state=Job.State.DONE,
        kind__wets=True,
        kind__needs_conservator=False,
    )
    return Subquery(cleaned.order_by().values("stone").annotate(at=Max("done_at")).values("at"))


def _facts(ground: PlaceRules, jobs: Sequence[Job]) -> Ground:
    """Return what holds up the jobs of one page; two statements."""
    place = ground.place
    for job in jobs:
        job.cemetery = place
    return Ground(
        permissions={place.pk: list(ground.permissions)},
        families=family_facts(jobs),
        rules={place.pk: ground.rules},
        prerequisites=prerequisite_facts(jobs),
        cleaned_at={
            job.stone_id: at for job in jobs if job.stone_id and (at := vars(job)["cleaned_at"])
        },
    )
