"""The door for those who come by a mailed link: the thing it opens, or why it opens nothing.

A standing link that is renewed or altered is answered like one that never was (404).
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from coordinator import links
from coordinator.humans import is_same, same_human
from coordinator.models import Person
from workdays.group_mail import GROUP, group_state
from workdays.models import Invitation, Notice, OpeningMail, Party, SeatRequest, Signature, SignUp

OPENS = ""


@dataclass(frozen=True)
class Opened:
    """What a one-shot link names; ``why_not`` is empty, or "altered", "old", "used"."""

    row: SignUp | None
    why_not: str = OPENS


def by_token(purpose: links.Purpose, token: str, state_of: Callable[[SignUp], str]) -> Opened:
    """Return the sign-up of a one-shot link; also of a used one, so that a page can say more."""
    found: list[SignUp] = []

    def state(pk: int) -> str | None:
        rows = SignUp.objects.select_related("day__cemetery", "day__teaches", "person")
        found.extend(rows.filter(pk=pk))
        return state_of(found[0]) if found else None

    try:
        links.read(purpose, token, state)
    except links.Dead as dead:
        return Opened(found[0] if found else None, dead.why)
    return Opened(found[0])


def invitation(pk: int) -> Invitation:
    """Return the invitation that a link names, with who sent it."""
    return get_object_or_404(Invitation.objects.select_related("invited_by"), pk=pk)


def own_sign_up(person: Person, pk: int) -> SignUp:
    """Return one's own sign-up; 404 for anybody else's."""
    rows = SignUp.objects.select_related("day__cemetery", "day__teaches", "person", "wishes")
    return get_object_or_404(rows, pk=pk, person__in=same_human(person))


def own_or_wards_sign_up(person: Person, pk: int) -> SignUp:
    """Return one's own sign-up, or that of a minor one is the guardian of; 404 for others."""
    rows = SignUp.objects.select_related("day__cemetery", "day__teaches", "person", "wishes")
    mine = same_human(person)
    return get_object_or_404(rows, Q(person__in=mine) | Q(guardian__in=mine), pk=pk)


def own_signature(person: Person, pk: int) -> Signature:
    """Return what one signed oneself, or for a minor; 404 for anybody else's."""
    signatures = Signature.objects.select_related("waiver", "person", "signed_by")
    mine = same_human(person)
    row = signatures.filter(Q(signed_by__in=mine) | Q(person__in=mine), pk=pk).first()
    if row is None:
        raise Http404
    return row


def own_notice(person: Person, pk: int) -> Notice:
    """Return a notice to oneself; 404 for anybody else's."""
    notices = Notice.objects.select_related("day__cemetery", "day__teaches", "call", "person")
    return get_object_or_404(notices, pk=pk, person__in=same_human(person))


def own_seat_request(person: Person, pk: int) -> tuple[SeatRequest, SignUp]:
    """Return a question about seats, and one's own sign-up in it; 404 for anybody else's."""
    both = ("driver__person", "rider__person", "driver__day__cemetery", "rider__day__cemetery")
    rows = same_human(person)
    mine = Q(driver__person__in=rows) | Q(rider__person__in=rows)
    request = get_object_or_404(SeatRequest.objects.select_related(*both), mine, pk=pk)
    is_driver = is_same(request.driver.person, person)
    return request, request.driver if is_driver else request.rider


def group_by_token(token: str) -> Party:
    """Return the group that the first mail's link names. Raises links.Dead."""

    def state(pk: int) -> str | None:
        found = _groups().filter(pk=pk).first()
        return group_state(found) if found else None

    return _groups().get(pk=links.read(GROUP, token, state))


def group_by_secret(secret: str) -> Party | None:
    """Return the group of a share link, or None for one that is renewed or was never ours."""
    return _groups().filter(secret=secret).first()


def opening_mail(secret: str) -> OpeningMail:
    """Return the wish that an address ends, ended before or not; 404 for a made-up one."""
    return get_object_or_404(OpeningMail.objects.select_related("cemetery"), secret=secret)


def own_group(person: Person, pk: int) -> Party:
    """Return a group that one leads; 404 for anybody else's."""
    return get_object_or_404(_groups(), pk=pk, leader__in=same_human(person))


def own_groups(person: Person) -> list[Party]:
    """Return the groups that one leads, the latest day first."""
    return list(_groups().filter(leader__in=same_human(person)).order_by("-day__starts_at", "pk"))


def secret_of_leader(party: Party) -> str:
    """Return the secret of the leader's own link."""
    return party.leader.secret if party.leader else ""


def _groups() -> QuerySet[Party]:
    both = ("day__cemetery", "day__teaches", "leader")
    return Party.objects.filter(is_group=True).select_related(*both)
