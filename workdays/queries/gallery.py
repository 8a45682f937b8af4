"""Pairs of pictures before and after work: those that the public sees, those to choose from."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef
from django.db.models.query import QuerySet

from workdays.models import Cemetery, FamilyLeave, Job, Photograph
from workdays.queries.ground import today_at
from workdays.rules.gallery import PairFacts, refusals_to_show
from workdays.rules.refusals import Refusal, sentences

PAIRS_A_PAGE = 12


@dataclass(frozen=True)
class PairShown:
    """One pair: its pictures, where it is, what was done between the two, and why not shown."""

    before: Photograph
    after: Photograph
    place: str
    number: str
    work: list[str]
    refusals: list[str]


@dataclass(frozen=True)
class GalleryPage:
    """A page of pairs and how many there are."""

    pairs: list[PairShown]
    page: "Page[Photograph]"
    total: int


def pairs() -> "QuerySet[Photograph]":
    """Return each picture taken after work that has one from before, the newest first."""
    return (
        Photograph.objects.filter(before__isnull=False, stone__isnull=False)
        .select_related("before", "stone__cemetery", "stone__section")
        .annotate(family_refused=Exists(_refused()))
        .order_by("-taken_on", "-pk")
    )


def shown_pairs(*, now: datetime) -> "QuerySet[Photograph]":
    """Return the pairs that the public may see."""
    return pairs().filter(
        ~Exists(_refused()),
        in_gallery=True,
        shows_people=False,
        before__shows_people=False,
        stone__cemetery__gallery_on__lte=now.date(),
    )


def _refused() -> "QuerySet[FamilyLeave]":
    return FamilyLeave.objects.filter(stone=OuterRef("stone"), state=FamilyLeave.State.REFUSED)


def facts_of(after: Photograph) -> PairFacts:
    """Return what decides whether a pair may be shown; ``after`` comes from ``pairs``."""
    before = after.before
    return PairFacts(
        leave_on=after.cemetery.gallery_on,
        shows_people=after.shows_people or (before is not None and before.shows_people),
        is_pair=before is not None,
        family_refused=bool(getattr(after, "family_refused", False)),
    )


def gallery_page(*, page: str, now: datetime) -> GalleryPage:
    """Return what the public sees: work and places, no names."""
    return _page(shown_pairs(now=now), page, {})


def choose_page(cemetery: Cemetery, *, page: str, now: datetime) -> GalleryPage:
    """Return all pairs of a cemetery with why each may not be shown."""
    today = today_at(cemetery, now=now)
    found = pairs().filter(stone__cemetery=cemetery)
    sheet = Paginator(found, PAIRS_A_PAGE).get_page(page)
    refusals = {one.pk: refusals_to_show(facts_of(one), today=today) for one in sheet}
    return _page(found, page, refusals)


def _page(
    found: "QuerySet[Photograph]", page: str, refusals: dict[int, list[Refusal]]
) -> GalleryPage:
    sheet = Paginator(found, PAIRS_A_PAGE).get_page(page)
    rows = list(sheet)
    work = _work(rows)
    return GalleryPage(
        [_shown(one, work[one.pk], refusals.get(one.pk, [])) for one in rows],
        sheet,
        sheet.paginator.count,
    )


def _shown(after: Photograph, work: list[str], refusals: list[Refusal]) -> PairShown:
    before, stone = after.before, after.stone
    assert before is not None  # noqa: S101  # pairs() asks for both
    assert stone is not None  # noqa: S101
    return PairShown(before, after, after.cemetery.name, stone.number, work, sentences(refusals))


def _work(rows: Iterable[Photograph]) -> dict[int, list[str]]:
    """Return the kinds of work done at each stone between its two pictures, by picture."""
    rows = list(rows)
    jobs = Job.objects.filter(
        stone__in=[one.stone_id for one in rows], state=Job.State.DONE, done_at__isnull=False
    ).select_related("kind", "cemetery")
    done = [
        (job.stone_id, job.done_at.astimezone(job.cemetery.zone).date(), job.kind.name)
        for job in jobs
        if job.done_at is not None
    ]
    return {one.pk: _between(one, done) for one in rows}


def _between(after: Photograph, done: list[tuple[int | None, date, str]]) -> list[str]:
    start = after.before.taken_on if after.before else after.taken_on
    names = [
        name
        for stone, on, name in done
        if stone == after.stone_id and start <= on <= after.taken_on
    ]
    return list(dict.fromkeys(names))
