"""How many jobs of a cemetery are ready, wait or are over, and their minutes: one statement."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Case, Count, F, Sum, Value, When
from django.db.models.functions import Coalesce

from workdays.models import Job
from workdays.queries.blocked import BITS, PlaceRules, reasons
from workdays.rules.backlog_words import Show

OVER = -1


@dataclass(frozen=True)
class Group:
    """Jobs that are alike: where, what, why they wait; ``minutes``: what is left of them.

    ``found``: the sum of BITS of their reasons, 0 when ready, OVER when done or dropped.
    ``at_stone``: they are at the stone that was asked for.
    """

    section: int
    section_name: str
    kind: int
    found: int
    at_stone: bool
    jobs: int
    minutes: int

    @property
    def show(self) -> Show:
        """Return the list that they stand on."""
        if self.found == OVER:
            return "over"
        return "waiting" if self.found else "ready"

    def waits_for(self, code: str) -> bool:
        """Return whether a reason holds them up."""
        return self.found > 0 and bool(self.found & BITS[code])


def groups(ground: PlaceRules, *, on: date, stone: str = "") -> list[Group]:
    """Return all jobs of a cemetery as they stand on a date, alike ones counted together."""
    is_open = When(state=Job.State.OPEN, then=reasons(ground, on=on))
    at_stone = When(stone__number__iexact=stone, then=Value(True))
    rows = ground.place.jobs.annotate(
        name=F("section__name"),
        found=Case(is_open, default=Value(OVER)),
        at_stone=Case(at_stone, default=Value(False)) if stone else Value(False),
    )
    alike = rows.order_by("section__order", "section").values_list(
        *("section", "name", "kind", "found", "at_stone", "section__order")
    )
    counted = alike.annotate(
        jobs=Count("pk"), minutes=Sum(Coalesce("minutes_left", "person_minutes"))
    )
    return [
        Group(section, name, kind, found, bool(at_stone), jobs, minutes)
        for section, name, kind, found, at_stone, _order, jobs, minutes in counted
    ]


@dataclass(frozen=True)
class Total:
    """Jobs and their minutes."""

    jobs: int = 0
    minutes: int = 0


def total(rows: Iterable[Group], keep: Callable[[Group], bool]) -> Total:
    """Return how many jobs some groups hold, and their minutes."""
    kept = [row for row in rows if keep(row)]
    return Total(sum(row.jobs for row in kept), sum(row.minutes for row in kept))
