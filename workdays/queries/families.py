"""Families whose leave is wanted at a stone: for what, how far it is."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, F, Q, QuerySet

from workdays.models import FamilyLeave, Job, KindOfWork, Stone
from workdays.queries.ground import date_words
from workdays.rules.counting import joined
from workdays.rules.leave_ahead import ago

State = FamilyLeave.State
MARKS = {State.GIVEN: "on", State.REFUSED: "off"}
UNANSWERED = (State.ASKED, State.NO_ANSWER)


@dataclass(frozen=True)
class FamilyRow:
    """One family in words; ``jobs`` to do at the stone wait for it (or are refused)."""

    family: FamilyLeave
    kinds: str
    mark: str
    when: str
    jobs: int

    @property
    def state_words(self) -> str:
        """Return how far its leave is: "asked", "not asked yet"."""
        return str(self.family.get_state_display())


def _with_jobs(families: "QuerySet[FamilyLeave]") -> "QuerySet[FamilyLeave]":
    held_up = Q(stone__jobs__state=Job.State.OPEN, stone__jobs__kind=F("kinds"))
    counted = families.annotate(waiting=Count("stone__jobs", filter=held_up, distinct=True))
    return counted.prefetch_related("kinds")


def families_of(stone: Stone, *, today: date) -> list[FamilyRow]:
    """Return the families of a stone as they were noted; two statements."""
    rows = _with_jobs(FamilyLeave.objects.filter(stone=stone)).order_by("pk")
    return [family_row(row, today=today) for row in rows]


def waited_for() -> "QuerySet[FamilyLeave]":
    """Return families that were not asked or have not answered, asked longest ago first."""
    rows = FamilyLeave.objects.filter(state__in=(State.WANTED, *UNANSWERED))
    listed = _with_jobs(rows).select_related("stone__cemetery")
    return listed.order_by(F("asked_on").asc(nulls_last=True), "pk")


def family_row(family: FamilyLeave, *, today: date) -> FamilyRow:
    """Return one family in words; reads its kinds, and ``waiting`` where it was counted."""
    return FamilyRow(
        family=family,
        kinds=joined([_activity(kind) for kind in family.kinds.all()]),
        mark=MARKS.get(State(family.state), "watch"),
        when=_when(family, today),
        jobs=getattr(family, "waiting", 0),
    )


def _activity(kind: KindOfWork) -> str:
    return kind.name[:1].lower() + kind.name[1:]


def _when(family: FamilyLeave, today: date) -> str:
    asked, answered = family.asked_on, family.answered_on
    parts = [f"asked on {date_words(asked)}"] if asked else []
    if answered:
        parts.append(f"answered on {date_words(answered)}")
    elif asked:
        parts.append(ago(asked, today))
    return ", ".join(parts)
