"""The staff: who may open which pages, who was asked to, what an invitation gives."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from coordinator.links import Purpose
from coordinator.models import Person
from training.models import Skill
from training.queries import standing_of
from training.rules.standing import Level
from workdays.models import Cemetery, Invitation, Membership
from workdays.rules.wall_clock import day_words

INVITE = Purpose("staff-invitation", timedelta(days=7))
EVERYWHERE = "everywhere"


@dataclass(frozen=True)
class StaffLine:
    """One person with a log-in, and each role with its places in words."""

    person: Person
    roles: Sequence[str]
    is_me: bool


@dataclass(frozen=True)
class InvitationLine:
    """One invitation that is open."""

    row: Invitation
    words: str
    until: str
    is_old: bool


def invitation_state(row: Invitation) -> str | None:
    """Return what the link of an invitation is good for; None once it was used or taken back."""
    if not row.is_open:
        return None
    return f"{row.email} {row.invited_at.astimezone(UTC).isoformat()}"


def state_of(pk: int) -> str | None:
    """Return the state of an invitation by its number."""
    row = Invitation.objects.filter(pk=pk).first()
    return invitation_state(row) if row else None


def staff_lines(me: Person) -> list[StaffLine]:
    """Return everybody with a role, in a fixed number of statements."""
    rows = Membership.objects.select_related("person__user", "cemetery")
    by_person: dict[Person, list[Membership]] = {}
    for row in rows.order_by("person__name", "person", "role", "cemetery__name"):
        by_person.setdefault(row.person, []).append(row)
    return [
        StaffLine(person, _roles(found), is_me=person == me) for person, found in by_person.items()
    ]


def _roles(rows: Iterable[Membership]) -> list[str]:
    places: dict[str, list[str]] = {}
    for row in rows:
        where = row.cemetery.name if row.cemetery else EVERYWHERE
        places.setdefault(str(row.get_role_display()), []).append(where)
    return [f"{role}: {', '.join(names)}" for role, names in places.items()]


def open_invitations(*, now: datetime) -> list[InvitationLine]:
    """Return who was asked and has not answered, newest first."""
    rows = Invitation.objects.filter(accepted_at__isnull=True, taken_back_at__isnull=True)
    rows = rows.select_related("invited_by").prefetch_related("cemeteries", "skills")
    return [
        InvitationLine(
            row,
            invitation_words(row),
            day_words((row.invited_at + INVITE.life).date()),
            is_old=now - row.invited_at > INVITE.life,
        )
        for row in rows[:200]
    ]


def invitation_words(row: Invitation) -> str:
    """Return "supervisor of gentle cleaning at Alder Hill"."""
    skills = ", ".join(skill.name for skill in row.skills.all())
    places = ", ".join(place.name for place in row.cemeteries.all())
    role = str(row.get_role_display())
    return f"{role}{f' of {skills}' if skills else ''} {f'at {places}' if places else EVERYWHERE}"


def judged_skills(judge: Person, places: Collection[Cemetery], *, on: date) -> frozenset[str]:
    """Return the names of skills in which somebody may sign others off at all of these places."""
    held: list[frozenset[str]] = []
    for number in [place.pk for place in places] or [0]:  # 0: a sign-off for every cemetery
        levels = standing_of([judge.pk], cemetery_number=number, on=on)[judge.pk]
        held.append(frozenset(key for key, level in levels.items() if level >= Level.SUPERVISOR))
    keys = frozenset.intersection(*held)
    return frozenset(skill.name for skill in Skill.objects.all() if skill.key in keys)
