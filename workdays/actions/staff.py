"""Let somebody into the staff by a mailed link, and out again at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from coordinator import audit, links, outbox
from coordinator.log_ins.actions import end_sessions
from coordinator.models import Person, User
from coordinator.refused import Refused, refuse
from training import actions as training
from training.models import SignOff, Skill
from workdays.models import Cemetery, Invitation, Membership
from workdays.queries.again import people_of
from workdays.queries.staff import INVITE, invitation_state, invitation_words, judged_skills
from workdays.rules.staffing import OVER, refusals_to_end, refusals_to_invite


@dataclass(frozen=True)
class InvitationWish:
    """Whom an organiser asks to do what; no cemetery named: the whole programme."""

    email: str
    role: str
    cemeteries: Sequence[Cemetery]
    skills: Sequence[Skill]


@dataclass(frozen=True)
class Acceptance:
    """Who accepts: somebody known by the mailbox, by number, or a new name."""

    name: str
    person_id: int | None = None


@transaction.atomic
def invite(wish: InvitationWish, *, by: Person, now: datetime) -> Invitation:
    """Mail an invitation; an open one to the same mailbox is taken back. Raises Refused."""
    on = timezone.localdate(now)
    judged = judged_skills(by, wish.cemeteries, on=on)
    refuse(refusals_to_invite(wish.role, [skill.name for skill in wish.skills], judged))
    for older in Invitation.objects.filter(email=wish.email).select_for_update():
        _take_back(older, by, now)
    row = Invitation.objects.create(email=wish.email, role=wish.role, invited_by=by, invited_at=now)
    row.cemeteries.set(wish.cemeteries)
    row.skills.set(wish.skills)
    audit.record(audit.by_login(by), "invited", row, {"role": wish.role})
    _mail(row)
    return row


def _mail(row: Invitation) -> None:
    token = links.make(INVITE, row.pk, invitation_state(row) or "")
    context = {
        "what": invitation_words(row),
        "days": INVITE.life.days,
        "link": links.absolute("accept_invitation", token),
    }
    letter = outbox.compose(
        "workdays/mail/staff_invitation", context, reason="invitation", to_address=row.email
    )
    outbox.queue(letter, key=f"staff_invitation:{row.pk}")


@transaction.atomic
def take_back(invitation_id: int, *, by: Person, now: datetime) -> None:
    """Make the link of an invitation useless; one that was used or taken back stays as it is."""
    _take_back(Invitation.objects.select_for_update().get(pk=invitation_id), by, now)


def _take_back(row: Invitation, by: Person, now: datetime) -> None:
    if row.is_open:
        row.taken_back_at = now
        row.save(update_fields=["taken_back_at"])
        audit.record(audit.by_login(by), "took the invitation back", row)


@transaction.atomic
def accept(invitation_id: int, answer: Acceptance, *, now: datetime) -> User:
    """Give the mailbox its log-in and its role. Raises Refused when the invitation is over."""
    row = Invitation.objects.select_for_update().get(pk=invitation_id)
    if not row.is_open:
        raise Refused([OVER])
    user = _user(row.email)
    person = _person(user, row.email, answer, now)
    places: list[Cemetery | None] = [*row.cemeteries.all()]
    for place in places or [None]:
        Membership.objects.get_or_create(person=person, role=row.role, cemetery=place)
    _sign_off(row, person, now)
    row.accepted_at, row.accepted_by = now, person
    row.save(update_fields=["accepted_at", "accepted_by"])
    detail = {"role": row.role, "cemeteries": [place.pk for place in row.cemeteries.all()]}
    audit.record(audit.by_link(person), "accepted the invitation", row, detail)
    return user


def _user(email: str) -> User:
    user = User.objects.filter(email__iexact=email).first()
    if user is None:
        return User.objects.create_user(email)
    user.is_active = True
    user.save(update_fields=["is_active"])
    return user


def _person(user: User, email: str, answer: Acceptance, now: datetime) -> Person:
    """Return who stands behind the log-in: as before, somebody known by the mailbox, or new."""
    known = Person.objects.filter(user=user).first()
    if known:
        return known
    chosen = people_of(email).filter(pk=answer.person_id or 0, user__isnull=True).first()
    if chosen is None:
        return Person.objects.create(name=answer.name, email=email, user=user, confirmed_at=now)
    chosen.user = user
    chosen.save(update_fields=["user"])
    return chosen


def _sign_off(row: Invitation, person: Person, now: datetime) -> None:
    """Record the inviter's judgement; one who may no longer judge leaves it to another."""
    numbers = [place.pk for place in row.cemeteries.all()]
    for skill in row.skills.all():
        try:
            training.sign_off(
                person,
                skill,
                SignOff.Level.SUPERVISOR,
                by=row.invited_by,
                on=timezone.localdate(now),
                cemetery_numbers=numbers,
            )
        except Refused:
            detail = {"skill": skill.key}
            audit.record(audit.by_rule("may-no-longer-judge"), "left out", row, detail)


@transaction.atomic
def end_access(person_id: int, *, by: Person, now: datetime) -> None:
    """Take every role from somebody and end their sessions at once. Raises Refused.

    What they may do to a stone is another matter: sign-offs stay until a supervisor ends them.
    """
    everywhere = Membership.objects.select_for_update().filter(
        role=Membership.Role.ORGANISER, cemetery__isnull=True
    )
    refuse(refusals_to_end(set(everywhere.values_list("person_id", flat=True)), person_id))
    person = Person.objects.select_related("user").get(pk=person_id)
    rows = Membership.objects.filter(person=person)
    detail = {"roles": [[row.role, row.cemetery_id] for row in rows]}
    rows.delete()
    audit.record(audit.by_login(by), "ended the access", person, detail)
    if person.user is None:
        return
    person.user.is_active = False
    person.user.save(update_fields=["is_active"])
    end_sessions(person.user, by=by)
    for row in Invitation.objects.filter(email=person.user.email).select_for_update():
        _take_back(row, by, now)
