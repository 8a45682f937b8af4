"""Who is here on the morning of a day: the roll beside the sign-ups and the published plan."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from workdays.models import Crew, CrewPlan, RollEntry, SignUp, Workday
from workdays.queries.plans import published_plan
from workdays.queries.sign_ups import coming_by_name
from workdays.rules.morning import SLOT, Comer, Frame, presence


@dataclass(frozen=True)
class Parts:
    """Who has a part in a plan: everybody placed, who leads which crew, who supervises."""

    placed: frozenset[int] = frozenset()
    leads: dict[int, str] = field(default_factory=dict)
    supervisors: frozenset[int] = frozenset()


NO_PARTS = Parts()


def frame_of(day: Workday) -> Frame:
    """Return from when to when a day is."""
    return Frame(day.starts_at, day.ends_at)


def comers_of(day: Workday) -> list[Comer]:
    """Return everybody who is coming, as the roll and the plan in force know them."""
    plan = published_plan(day)
    return comers(day, coming_by_name(day), _parts(plan) if plan else Parts())


def comers(day: Workday, sign_ups: Iterable[SignUp], parts: Parts = NO_PARTS) -> list[Comer]:
    """Return sign-ups with their last stay on the ground; one statement."""
    last: dict[int, RollEntry] = {entry.person_id: entry for entry in day.roll.all()}
    return [_comer(day, row, last.get(row.person_id), parts) for row in sign_ups]


def _comer(day: Workday, row: SignUp, stay: RollEntry | None, parts: Parts) -> Comer:
    return Comer(
        person=row.person_id,
        name=row.person.name,
        comes_at=max(day.starts_at, row.comes_at or day.starts_at),
        leaves_at=min(day.ends_at, row.leaves_at or day.ends_at),
        arrived_at=stay.arrived_at if stay else None,
        left_at=stay.left_at if stay else None,
        expected_at=row.expected_at,
        not_coming_at=row.not_coming_at,
        planned=row.person_id in parts.placed,
        leads=parts.leads.get(row.person_id, ""),
        supervises=row.person_id in parts.supervisors,
        adult=row.person.is_adult,
        guardian=row.guardian_id,
    )


def _parts(plan: CrewPlan) -> Parts:
    crews = list(Crew.objects.filter(plan=plan).order_by("-block__starts_at"))
    placed = Crew.objects.filter(plan=plan).values_list("placements__person_id", flat=True)
    return Parts(
        placed=frozenset(person for person in placed if person is not None),
        leads={crew.lead_id: crew.name for crew in crews},
        supervisors=frozenset(crew.supervisor_id for crew in crews if crew.supervisor_id),
    )


def presence_of(
    day: Workday, sign_ups: Iterable[SignUp], since: datetime | None
) -> dict[int, tuple[int, int] | None]:
    """Return from and until which quarter hour each person is there; None: they are not.

    For the rest of a day the roll decides, and what was said of those who are missing.
    """
    if since is None:
        return {row.person_id: _as_signed_up(day, row) for row in sign_ups}
    frame = frame_of(day)
    found = {one.person: presence(one, frame, since) for one in comers(day, sign_ups)}
    return {person: span if span[0] < span[1] else None for person, span in found.items()}


def _as_signed_up(day: Workday, row: SignUp) -> tuple[int, int]:
    arrive = max(0, -((day.starts_at - (row.comes_at or day.starts_at)) // SLOT))
    return arrive, (min(row.leaves_at or day.ends_at, day.ends_at) - day.starts_at) // SLOT
