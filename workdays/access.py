"""The one door to each thing of a day or a place: fetched here with permission checked, or refused.

404 for what one may not know of, 403 for what one may see but not change. A role opens pages
only; what somebody may do to a stone comes from their standing.
"""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.db.models.fields.files import FieldFile
from django.db.models.functions import Coalesce
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404

from coordinator.models import Person, User
from workdays.models import (
    Booking,
    Cemetery,
    ChainStep,
    ChainTemplate,
    FamilyLeave,
    FitJudgement,
    Host,
    Invitation,
    Job,
    Kept,
    KindOfWork,
    LoosePiece,
    Membership,
    MixedMaterial,
    Permission,
    Photograph,
    Section,
    SheetImport,
    Signature,
    SignUp,
    Stone,
    Waiver,
    Workday,
)
from workdays.queries.gallery import shown_pairs
from workdays.queries.gate import known_people


@dataclass(frozen=True)
class Viewer:
    """Somebody logged in, and where they are organiser or supervisor.

    ``organises`` and ``supervises`` hold cemetery ids; ``everywhere`` and
    ``supervises_everywhere`` mean the whole programme.
    """

    person: Person
    organises: frozenset[int]
    supervises: frozenset[int]
    everywhere: bool
    supervises_everywhere: bool

    @property
    def is_organiser(self) -> bool:
        """Return whether the person organises anywhere."""
        return self.everywhere or bool(self.organises)

    def may_organise(self, cemetery_id: int) -> bool:
        """Return whether the person is organiser at this cemetery."""
        return self.everywhere or cemetery_id in self.organises

    def may_supervise(self, cemetery_id: int) -> bool:
        """Return whether the person is supervisor or organiser at this cemetery."""
        return (
            self.supervises_everywhere
            or cemetery_id in self.supervises
            or self.may_organise(cemetery_id)
        )

    def organised(self) -> "QuerySet[Cemetery]":
        """Return the cemeteries that the person organises."""
        everything = Cemetery.objects.all()
        return everything if self.everywhere else everything.filter(pk__in=self.organises)

    def seen(self) -> "QuerySet[Cemetery]":
        """Return the cemeteries whose pages the person may open."""
        if self.everywhere or self.supervises_everywhere:
            return Cemetery.objects.all()
        return Cemetery.objects.filter(pk__in=self.organises | self.supervises)


def viewer(request: HttpRequest) -> Viewer:
    """Return who is logged in; refuse an account without a role (403). Asks once a request."""
    known: Viewer | None = vars(request).get("viewer")
    if known is None:
        known = vars(request)["viewer"] = _viewer(request)
    return known


def _viewer(request: HttpRequest) -> Viewer:
    user = request.user
    person = getattr(user, "person", None) if isinstance(user, User) else None
    if person is None:
        raise PermissionDenied("This account is not tied to a person.")
    rows = list(Membership.objects.filter(person=person).values_list("role", "cemetery_id"))
    if not rows:
        raise PermissionDenied("This account has no role at any cemetery.")
    organiser = {c for role, c in rows if role == Membership.Role.ORGANISER}
    supervisor = {c for role, c in rows if role == Membership.Role.SUPERVISOR}
    return Viewer(
        person=person,
        organises=frozenset(c for c in organiser if c is not None),
        supervises=frozenset(c for c in supervisor if c is not None),
        everywhere=None in organiser,
        supervises_everywhere=None in supervisor,
    )


def organiser(request: HttpRequest) -> Viewer:
    """Return the organiser who is logged in; 403 for a supervisor."""
    who = viewer(request)
    if not who.is_organiser:
        raise PermissionDenied("This page is for organisers.")
    return who


def organiser_everywhere(request: HttpRequest) -> Viewer:
    """Return an organiser of the whole programme; 403 for one of single cemeteries."""
    who = organiser(request)
    if not who.everywhere:
        raise PermissionDenied("This page is for organisers of the whole programme.")
    return who


def staff_for_organiser(request: HttpRequest, pk: int) -> Person:
    """Return somebody with a role, for an organiser of the whole programme."""
    organiser_everywhere(request)
    return get_object_or_404(Person.objects.filter(memberships__isnull=False).distinct(), pk=pk)


def invitation_for_organiser(request: HttpRequest, pk: int) -> Invitation:
    """Return an invitation, for an organiser of the whole programme."""
    organiser_everywhere(request)
    return get_object_or_404(Invitation, pk=pk)


def _for_organiser(who: Viewer, cemetery_id: int) -> None:
    if who.may_organise(cemetery_id):
        return
    if who.may_supervise(cemetery_id):
        raise PermissionDenied("Only an organiser of this cemetery may do this.")
    raise Http404


def _for_supervisor(who: Viewer, cemetery_id: int) -> None:
    if not who.may_supervise(cemetery_id):
        raise Http404


def waiver_for_organiser(request: HttpRequest, pk: int) -> Waiver:
    """Return a published text that people sign, for an organiser where it is signed."""
    who = organiser(request)
    rows = Waiver.objects.filter(published_at__isnull=False).select_related("cemetery")
    return get_object_or_404(
        rows.filter(Q(cemetery__isnull=True) | Q(cemetery__in=who.organised())), pk=pk
    )


def waiver_for_staff(request: HttpRequest, pk: int) -> Waiver:
    """Return a published text for the staff of a place where it is signed, to print."""
    seen = Q(cemetery__isnull=True) | Q(cemetery__in=viewer(request).seen())
    return get_object_or_404(Waiver.objects.filter(seen, published_at__isnull=False), pk=pk)


def paper_for_staff(request: HttpRequest, pk: int) -> Signature:
    """Return a signature on paper for the staff of the day for which it was noted."""
    rows = Signature.objects.filter(noted_for__isnull=False).select_related("noted_for")
    row = get_object_or_404(rows, pk=pk)
    if row.noted_for is not None:
        _for_supervisor(viewer(request), row.noted_for.cemetery_id)
    return row


def may_publish(who: Viewer, row: Waiver) -> bool:
    """Return whether somebody may publish what stands beside a text: of the place, or of all."""
    return who.everywhere if row.cemetery_id is None else who.may_organise(row.cemetery_id)


def waiver_to_publish(request: HttpRequest, pk: int) -> Waiver:
    """Return the first text of a version to which an organiser may add a language."""
    row = waiver_for_organiser(request, pk)
    if not may_publish(viewer(request), row):
        raise PermissionDenied("This text is for organisers of the whole programme.")
    if row.translates_id is not None:
        raise Http404
    return row


def signature_for_organiser(request: HttpRequest, pk: int) -> Signature:
    """Return what somebody signed, for an organiser of a place that it is for and they came to."""
    who = organiser(request)
    rows = Signature.objects.select_related("waiver__cemetery", "person", "signed_by")
    if not who.everywhere:
        places = who.organised()
        human = Coalesce("person__joined_into", "person")
        came = SignUp.objects.filter(day__cemetery__in=places).values_list(human, flat=True)
        of_place = Q(waiver__cemetery__isnull=True) | Q(waiver__cemetery__in=places)
        theirs = Q(person__in=came) | Q(person__joined_into__in=came)
        rows = rows.filter(of_place, theirs)
    return get_object_or_404(rows.filter(person__erased_at__isnull=True), pk=pk)


def kept_for_organiser(request: HttpRequest, pk: int) -> Kept:
    """Return what is kept of somebody erased, for an organiser of the whole programme."""
    organiser_everywhere(request)
    return get_object_or_404(Kept.objects.exclude(name="").select_related("person"), pk=pk)


def cemetery_for_staff(request: HttpRequest, slug: str) -> Cemetery:
    """Return a cemetery for its organiser or supervisor to look at."""
    cemetery = get_object_or_404(Cemetery, slug=slug)
    _for_supervisor(viewer(request), cemetery.pk)
    return cemetery


def cemetery_for_organiser(request: HttpRequest, slug: str) -> Cemetery:
    """Return a cemetery for its organiser to change."""
    cemetery = get_object_or_404(Cemetery, slug=slug)
    _for_organiser(viewer(request), cemetery.pk)
    return cemetery


def section_for_organiser(request: HttpRequest, slug: str, pk: int) -> Section:
    """Return a section of a cemetery for an organiser to change."""
    cemetery = cemetery_for_organiser(request, slug)
    return get_object_or_404(Section.objects.select_related("cemetery"), pk=pk, cemetery=cemetery)


def sheet_for_organiser(request: HttpRequest, slug: str, pk: int) -> SheetImport:
    """Return a spreadsheet of a cemetery for an organiser to look into, bring in or undo."""
    cemetery = cemetery_for_organiser(request, slug)
    rows = SheetImport.objects.select_related("cemetery", "by")
    return get_object_or_404(rows, pk=pk, cemetery=cemetery)


def permission_for_staff(request: HttpRequest, pk: int) -> Permission:
    """Return a permission for the staff of its cemetery to look at."""
    permission = get_object_or_404(Permission.objects.select_related("cemetery"), pk=pk)
    _for_supervisor(viewer(request), permission.cemetery_id)
    return permission


def permission_for_organiser(request: HttpRequest, pk: int) -> Permission:
    """Return a permission for an organiser of its cemetery to mend or end."""
    permission = get_object_or_404(Permission.objects.select_related("cemetery"), pk=pk)
    _for_organiser(viewer(request), permission.cemetery_id)
    return permission


def family_for_organiser(request: HttpRequest, pk: int) -> FamilyLeave:
    """Return a family of a stone for an organiser of its cemetery; nobody else reads its name."""
    family = get_object_or_404(FamilyLeave.objects.select_related("stone__cemetery"), pk=pk)
    _for_organiser(viewer(request), family.stone.cemetery_id)
    return family


def photograph_for_staff(request: HttpRequest, pk: int) -> Photograph:
    """Return a picture of a stone for the staff of its cemetery to look at."""
    photograph = get_object_or_404(
        Photograph.objects.select_related("stone__cemetery", "piece__cemetery"), pk=pk
    )
    _for_supervisor(viewer(request), photograph.cemetery.pk)
    return photograph


def photograph_for_organiser(request: HttpRequest, pk: int) -> Photograph:
    """Return a picture for an organiser of its cemetery to show, hide or take away."""
    photograph = photograph_for_staff(request, pk)
    _for_organiser(viewer(request), photograph.cemetery.pk)
    return photograph


def public_picture(pk: int, part: str, *, now: datetime) -> FieldFile:
    """Return a picture of a pair that the public may see; ``part`` is before or after."""
    after = get_object_or_404(shown_pairs(now=now), pk=pk)
    picture = {"before": after.before, "after": after}.get(part)
    if picture is None:
        raise Http404
    return picture.medium or picture.file


def kind_for_organiser(request: HttpRequest, key: str) -> KindOfWork:
    """Return a kind of work for an organiser of the whole programme to change its words."""
    organiser_everywhere(request)
    return get_object_or_404(KindOfWork, key=key)


def chain_for_organiser(request: HttpRequest, key: str) -> ChainTemplate:
    """Return a chain for an organiser of the whole programme to change."""
    organiser_everywhere(request)
    return get_object_or_404(ChainTemplate, key=key)


def step_for_organiser(request: HttpRequest, pk: int) -> ChainStep:
    """Return a step of a chain for an organiser of the whole programme to change."""
    organiser_everywhere(request)
    return get_object_or_404(ChainStep.objects.select_related("template", "kind"), pk=pk)


def material_for_organiser(request: HttpRequest, key: str) -> MixedMaterial:
    """Return a mixed material for an organiser of the whole programme to change."""
    organiser_everywhere(request)
    return get_object_or_404(MixedMaterial, key=key)


def stone_for_staff(request: HttpRequest, pk: int) -> Stone:
    """Return a stone for the staff of its cemetery to look at or survey."""
    stone = get_object_or_404(
        Stone.objects.select_related("cemetery", "section", "conclusion"), pk=pk
    )
    _for_supervisor(viewer(request), stone.cemetery_id)
    return stone


def piece_for_staff(request: HttpRequest, pk: int) -> LoosePiece:
    """Return a loose piece for whoever may survey at its cemetery to look at, change or judge."""
    rows = LoosePiece.objects.select_related("cemetery", "section", "found_by", "stone__cemetery")
    piece = get_object_or_404(rows, pk=pk)
    _for_supervisor(viewer(request), piece.cemetery_id)
    return piece


def judgement_for_staff(request: HttpRequest, pk: int) -> FitJudgement:
    """Return a word on a piece and a stone for whoever may judge it anew."""
    rows = FitJudgement.objects.select_related("piece__cemetery", "stone", "by")
    judgement = get_object_or_404(rows, pk=pk)
    _for_supervisor(viewer(request), judgement.piece.cemetery_id)
    return judgement


def stone_for_organiser(request: HttpRequest, pk: int) -> Stone:
    """Return a stone for an organiser of its cemetery to change."""
    stone = get_object_or_404(
        Stone.objects.select_related("cemetery", "section", "conclusion"), pk=pk
    )
    _for_organiser(viewer(request), stone.cemetery_id)
    return stone


def job_for_staff(request: HttpRequest, pk: int) -> Job:
    """Return a job for the staff of its cemetery to look at."""
    job = get_object_or_404(
        Job.objects.select_related("cemetery", "section", "stone", "kind"), pk=pk
    )
    _for_supervisor(viewer(request), job.cemetery_id)
    return job


def job_for_organiser(request: HttpRequest, pk: int) -> Job:
    """Return a job for an organiser of its cemetery to change."""
    job = get_object_or_404(
        Job.objects.select_related("cemetery", "section", "stone", "kind"), pk=pk
    )
    _for_organiser(viewer(request), job.cemetery_id)
    return job


def day_for_staff(request: HttpRequest, pk: int) -> Workday:
    """Return a day for the organiser or a supervisor of its cemetery."""
    day = get_object_or_404(Workday.objects.select_related("cemetery", "teaches"), pk=pk)
    _for_supervisor(viewer(request), day.cemetery_id)
    return day


def day_for_organiser(request: HttpRequest, pk: int) -> Workday:
    """Return a day for an organiser of its cemetery to change."""
    day = get_object_or_404(Workday.objects.select_related("cemetery", "teaches"), pk=pk)
    _for_organiser(viewer(request), day.cemetery_id)
    return day


def public_day(pk: int) -> Workday:
    """Return a day that the public may know of: anything but one not opened yet."""
    return get_object_or_404(
        Workday.objects.select_related("cemetery", "teaches").exclude(state=Workday.State.DRAFT),
        pk=pk,
    )


def booking_for_organiser(request: HttpRequest, pk: int) -> Booking:
    """Return a booking for an organiser; one that names no cemetery is for any organiser.

    Before its host answered the mailed link it is nobody's.
    """
    who = organiser(request)
    allowed = Q(cemetery__isnull=True) | Q(cemetery__in=who.organised())
    allowed &= Q(host__confirmed_at__isnull=False)
    return get_object_or_404(
        Booking.objects.select_related("host", "skill", "cemetery", "day").filter(allowed), pk=pk
    )


def person_by_link(secret: str) -> Person:
    """Return the person whose standing link this is; 404 when it is renewed or altered.

    The links of rows that were joined open one page.
    """
    rows = Person.objects.select_related("joined_into")
    found = get_object_or_404(rows, secret=secret, erased_at__isnull=True)
    return found.joined_into or found


def host_by_link(secret: str) -> Host:
    """Return the host whose standing link this is; 404 when it is renewed or altered."""
    return get_object_or_404(Host, secret=secret)


def known_person(request: HttpRequest, number: str) -> Person | None:
    """Return somebody who was at a cemetery of whoever is logged in; None where none is named."""
    if not number:
        return None
    if not (number.isascii() and number.isdigit() and len(number) < 19):
        raise Http404
    return get_object_or_404(known_people(viewer(request).seen()), pk=int(number))


def sign_up_of(day: Workday, pk: int) -> SignUp:
    """Return a sign-up of a day that was fetched for whoever may change it."""
    row = get_object_or_404(SignUp.objects.select_related("person", "guardian"), pk=pk, day=day)
    row.day = day
    return row
