"""Pages of pictures: those of a stone, a pair of them, one taken away, and the files."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from coordinator.refused import Refused, carried_out, refuse_into
from workdays import access
from workdays.actions import photographs as actions
from workdays.forms.pictures import PairForm, PhotographsForm, RemoveForm
from workdays.models import Photograph, Stone
from workdays.queries.ground import today_at
from workdays.queries.photographs import pictures_of
from workdays.views.papers import private_file

KEEP_SECONDS = 3600  # a file never changes under its address


def stone_photographs(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the pictures of a stone in order, and keep more of them."""
    found, now = access.stone_for_staff(request, pk), timezone.now()
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = PhotographsForm(*sent, today=today_at(found.cemetery, now=now))
    if request.method == "POST" and form.is_valid():
        said, by = form.cleaned_data, access.viewer(request).person
        taken = actions.Taken(
            said["taken_on"], said["moment"], said["caption"], said["shows_people"]
        )
        try:
            kept = actions.add_photographs(found, said["pictures"], taken=taken, by=by, now=now)
        except Refused as refused:
            refuse_into(form, refused)
        else:
            messages.success(request, _kept(len(kept)))
            return redirect("stone_photographs", found.pk)
    return _stone_page(request, found, form=form)


def _kept(count: int) -> str:
    words = ngettext("%(count)s picture is kept.", "%(count)s pictures are kept.", count)
    return words % {"count": count}


def _stone_page(
    request: HttpRequest, found: Stone, **forms: PhotographsForm | PairForm
) -> HttpResponse:
    """Show the page with the form that was sent, the others fresh."""
    pictures = pictures_of(found.photographs.all())
    today = today_at(found.cemetery, now=timezone.now())
    context = {
        "cemetery": found.cemetery,
        "stone": found,
        "pictures": pictures,
        "form": forms.get("form") or PhotographsForm(today=today),
        "pair_form": forms.get("pair_form")
        or PairForm(rows=pictures.rows, initial=pictures.proposed()),
        "may_change": access.viewer(request).may_organise(found.cemetery_id),
    }
    return render(request, "workdays/ground/photographs.html", context)


@require_POST
def photograph_pair(request: HttpRequest, pk: int) -> HttpResponse:
    """Make two pictures of a stone a pair."""
    found = access.stone_for_staff(request, pk)
    form = PairForm(request.POST, rows=pictures_of(found.photographs.all()).rows)
    if form.is_valid():
        try:
            actions.pair_photographs(**form.cleaned_data, by=access.viewer(request).person)
            messages.success(request, _("They are a pair now."))
            return redirect("stone_photographs", found.pk)
        except Refused as refused:
            refuse_into(form, refused)
    return _stone_page(request, found, pair_form=form)


@require_POST
def photograph_unpair(request: HttpRequest, pk: int) -> HttpResponse:
    """Let the two pictures of a pair stand alone."""
    picture = access.photograph_for_staff(request, pk)
    actions.unpair_photograph(picture, by=access.viewer(request).person)
    messages.success(request, _("They stand alone now."))
    return redirect(_page_of(picture))


def _page_of(picture: Photograph) -> str:
    """Return the page that shows a picture: its stone's, or its piece's own."""
    if picture.stone_id is not None:
        return reverse("stone_photographs", args=[picture.stone_id])
    return reverse("piece", args=[picture.piece_id])


def photograph_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a picture away for good."""
    picture = access.photograph_for_organiser(request, pk)
    form = RemoveForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        by, reason = access.viewer(request).person, form.cleaned_data["reason"]
        if carried_out(form, lambda: actions.remove_photograph(picture, reason=reason, by=by)):
            messages.success(request, _("The picture is gone."))
            return redirect(_page_of(picture))
    context = {"cemetery": picture.cemetery, "picture": picture, "form": form}
    return render(request, "workdays/ground/photograph_remove.html", context)


def photograph(request: HttpRequest, pk: int, size: str = "large") -> HttpResponseBase:
    """Give a picture to the staff of its cemetery, in one of three sizes."""
    picture = access.photograph_for_staff(request, pk)
    return picture_file(picture, size, keep_seconds=0 if picture.shows_people else KEEP_SECONDS)


def picture_file(picture: Photograph, size: str, *, keep_seconds: int) -> HttpResponseBase:
    """Return one size of a picture to somebody whom a view has let in; 404 for another word."""
    files = {"large": picture.file, "medium": picture.medium, "small": picture.small}
    if size not in files:
        raise Http404
    file = files[size] if files[size].name else picture.file
    name = f"photograph-{picture.pk}-{size}"
    return private_file(file, name=name, as_attachment=False, keep_seconds=keep_seconds)
