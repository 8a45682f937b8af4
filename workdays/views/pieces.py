"""Pages of loose pieces: the list, one noted or changed, one beside its likely homes."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.refused import attempt, carried_out
from workdays import access
from workdays.actions import pieces as actions
from workdays.forms.layout import initial_of
from workdays.forms.pieces import JudgeForm, PieceForm, TakeBackForm
from workdays.models import Cemetery, LoosePiece
from workdays.queries.found import piece_proposal
from workdays.queries.piece_facts import word_of
from workdays.queries.piece_page import HomeRow, piece_page
from workdays.queries.pieces import PieceFilter, piece_list
from workdays.rules.numbering import typed_number
from workdays.rules.pieces import CAUTION_SOURCE, CAUTIONS

PAGE = ["GET", "HEAD", "POST"]
CARE = {"sentences": CAUTIONS, "source": CAUTION_SOURCE}


@require_safe
def pieces(request: HttpRequest, slug: str) -> HttpResponse:
    """List the loose pieces of a cemetery, those that are at no stone yet first."""
    place = access.cemetery_for_staff(request, slug)
    asked = PieceFilter.from_query(request.GET)
    found = piece_list(place, asked, page=request.GET.get("page", ""))
    context = {"cemetery": place, "list": found, "cautions": CARE}
    return render(request, "workdays/ground/pieces.html", context)


@require_http_methods(PAGE)
def piece_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Note a loose piece, standing beside it."""
    place, now = access.cemetery_for_staff(request, slug), timezone.now()
    initial = piece_proposal(place, near=request.GET.get("near", ""), now=now)
    form = _form(request, place, initial=initial, submit=_("Note this piece"))
    if request.method == "POST" and form.is_valid():
        values, by = form.known(), access.viewer(request).person
        sent = _pictures(form)
        made = attempt(form, lambda: actions.log_piece(place, values, sent, by=by, now=now))
        if made:
            messages.success(request, _("Piece %(tag)s is noted.") % {"tag": made.tag})
            return redirect("piece", made.pk)
    form.tell_lost_pictures()
    context = {"cemetery": place, "form": form, "cautions": CARE}
    return render(request, "workdays/ground/piece_edit.html", context)


@require_http_methods(PAGE)
def piece_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is known of a piece, and add pictures of it."""
    found, now = access.piece_for_staff(request, pk), timezone.now()
    initial = initial_of(found, PieceForm)
    form = _form(request, found.cemetery, initial=initial, submit=_("Keep this"))
    if request.method == "POST" and form.is_valid():
        values, by = form.known(), access.viewer(request).person
        sent = _pictures(form)
        if attempt(form, lambda: actions.change_piece(found, values, sent, by=by, now=now)):
            messages.success(request, _("It is kept."))
            return redirect("piece", found.pk)
    form.tell_lost_pictures()
    context = {"cemetery": found.cemetery, "piece": found, "form": form, "cautions": CARE}
    return render(request, "workdays/ground/piece_edit.html", context)


def _form(
    request: HttpRequest, place: Cemetery, *, initial: dict[str, Any], submit: str
) -> PieceForm:
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    return PieceForm(*sent, initial=initial, cemetery=place, submit=submit)


def _pictures(form: PieceForm) -> actions.PicturesOfPiece:
    said = form.cleaned_data
    return actions.PicturesOfPiece(said["pictures"], said["shows_people"])


@require_safe
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a piece beside its likely homes, or beside a stone that somebody looks up."""
    found = access.piece_for_staff(request, pk)
    return _piece_page(request, found, number=typed_number(request.GET.get("stone", "")))


@require_POST
def piece_judge(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a word on whether a piece belongs to a stone."""
    found = access.piece_for_staff(request, pk)
    form = JudgeForm(request.POST, piece=found, address=_address(found))
    if form.is_valid():
        stone, by, now = form.cleaned_data["stone"], access.viewer(request).person, timezone.now()
        said = form.said()
        if carried_out(form, lambda: actions.judge_fit(found, stone, **said, by=by, now=now)):
            words = _("It is placed: both histories show it.") if said["fits"] else _("It is kept.")
            messages.success(request, words)
            return redirect("piece", found.pk)
    stone = form.cleaned_data.get("stone")
    return _piece_page(request, found, number=stone.number if stone else "", sent=form)


def _piece_page(
    request: HttpRequest, found: LoosePiece, *, number: str, sent: JudgeForm | None = None
) -> HttpResponse:
    page = piece_page(found, number=number, now=timezone.now())
    rows = [*([page.asked] if page.asked else []), *page.homes]
    forms = [None if row.said or found.stone else _judge_form(found, row, sent) for row in rows]
    cards = list(zip(rows, forms, strict=True))
    context = {
        "cemetery": found.cemetery,
        "piece": found,
        "page": page,
        "asked": cards[: len(rows) - len(page.homes)],
        "homes": cards[len(rows) - len(page.homes) :],
        "problems": sent.sentences(beside=sent in forms) if sent else [],
        "cautions": CARE,
        "may_change": access.viewer(request).may_organise(found.cemetery_id),
    }
    return render(request, "workdays/ground/piece.html", context)


def _judge_form(found: LoosePiece, row: HomeRow, sent: JudgeForm | None) -> JudgeForm:
    """Return the form of one home: the one that was sent, if it was about this stone."""
    stone = row.home.stone
    if sent is not None and sent.is_about(stone):
        return sent
    return JudgeForm(piece=found, stone=stone, address=_address(found))


def _address(found: LoosePiece) -> str:
    return reverse("piece_judge", args=[found.pk])


@require_http_methods(PAGE)
def piece_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a word on a piece and a stone back, with why."""
    said = access.judgement_for_staff(request, pk)
    form = TakeBackForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        by, why, now = access.viewer(request).person, form.cleaned_data["why"], timezone.now()
        if carried_out(form, lambda: actions.take_back(said, why=why, by=by, now=now)):
            messages.success(request, _("The word is taken back; both stay in the history."))
            return redirect("piece", said.piece_id)
    place = said.piece.cemetery
    context = {"cemetery": place, "piece": said.piece, "said": said, "form": form}
    context |= {"word": word_of(said, place)}
    return render(request, "workdays/ground/piece_take_back.html", context)
