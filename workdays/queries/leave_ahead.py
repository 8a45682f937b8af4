"""What runs out in the next 60 days, and which families have not answered; five statements."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from workdays.models import Cemetery, KindOfWork, Permission
from workdays.queries.families import UNANSWERED, FamilyRow, family_row, waited_for
from workdays.queries.ground import date_words, today_at
from workdays.queries.readiness import permission_facts
from workdays.queries.week_days import jobs_by_kind
from workdays.rules.counting import some
from workdays.rules.leave import PermissionFacts
from workdays.rules.leave_ahead import DAYS, After, after, ahead, headline, runs_out_soon

DAY = timedelta(days=1)


@dataclass(frozen=True)
class KindEnding:
    """A kind of work whose permission ends: what follows in words, jobs that are to do."""

    kind: KindOfWork
    words: str
    follows: bool
    jobs: str


@dataclass(frozen=True)
class Ending:
    """A permission that runs out, and what follows for each of its kinds."""

    permission: Permission
    when: str
    kinds: list[KindEnding]


@dataclass(frozen=True)
class LeaveAhead:
    """What a page of leave ahead shows; ``names`` tells whether families may be named."""

    headline: str
    endings: list[Ending]
    families: list[FamilyRow]
    names: frozenset[int]

    @property
    def is_quiet(self) -> bool:
        """Return whether nothing needs anybody."""
        return not self.endings and not self.families


def leave_ahead(
    cemeteries: Iterable[Cemetery], *, organised: Collection[int], now: datetime
) -> LeaveAhead:
    """Return what ends and who is waited for; families are named where one organises."""
    places = {place.pk: place for place in cemeteries}
    endings = _endings(places, now)
    families = [
        family_row(row, today=today_at(row.stone.cemetery, now=now))
        for row in waited_for().filter(stone__cemetery__in=places)
    ]
    unanswered = sum(row.family.state in UNANSWERED for row in families)
    return LeaveAhead(
        headline=headline(
            ending=len(endings), unanswered=unanswered, not_asked=len(families) - unanswered
        ),
        endings=endings,
        families=families,
        names=frozenset(places) & frozenset(organised),
    )


def _endings(places: dict[int, Cemetery], now: datetime) -> list[Ending]:
    # A day more on both sides: the date differs by the clock of the place.
    window = (now.date() - DAY, now.date() + (DAYS + 1) * DAY)
    rows = Permission.objects.filter(cemetery__in=places, ends_on__range=window)
    facts, jobs = permission_facts(places), jobs_by_kind(places.keys())
    return [
        _ending(row, facts[row.cemetery_id], jobs, now)
        for row in rows.select_related("cemetery").prefetch_related("kinds").order_by("ends_on")
        if runs_out_soon(row.ends_on, today_at(row.cemetery, now=now))
    ]


def _ending(
    row: Permission,
    facts: list[PermissionFacts],
    jobs: dict[tuple[int, int], int],
    now: datetime,
) -> Ending:
    kinds = []
    for kind in row.kinds.all():
        follows = after(kind.key, row.ends_on, facts)
        count = jobs.get((row.cemetery_id, kind.pk), 0)
        left = f"{some(count, 'job')} to do" if count else ""
        kinds.append(KindEnding(kind, _words(follows), follows.until is not None, left))
    return Ending(row, ahead(row.ends_on, today_at(row.cemetery, now=now)), kinds)


def _words(follows: After) -> str:
    if follows.until:
        return f"goes on until {date_words(follows.until)}"
    if follows.begins_on:
        return f"begins again on {date_words(follows.begins_on)}"
    return "nothing follows"
