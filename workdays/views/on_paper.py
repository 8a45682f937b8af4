"""Waivers on paper: the sheet to print, noting one that is signed, its picture."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.refused import attempt
from workdays import access, access_links
from workdays.actions.on_paper import note_paper
from workdays.forms.on_paper import PaperForm
from workdays.queries.waivers import Language, papers_of, people_with_waiver, texts_to_sign
from workdays.rules.young_people import rules_in
from workdays.views.papers import private_file
from workdays.views.private import behind_a_link


@require_http_methods(["GET", "HEAD", "POST"])
def paper_note(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Note a waiver that somebody of a day signed on paper."""
    day = access.day_for_staff(request, pk)
    sign_up, by = access.sign_up_of(day, row), access.viewer(request).person
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = PaperForm(*sent, row=sign_up)
    if request.method == "POST" and form.is_valid():
        noted, now = form.noted(), timezone.now()
        if attempt(form, lambda: note_paper(sign_up.pk, noted, by=by, now=now)):
            holds = people_with_waiver(day, [sign_up.person_id])
            kept, not_here = _("The paper is kept."), _("But it does not hold on this day.")
            messages.success(request, kept if holds else f"{kept} {not_here}")
            return redirect("paper_note", pk, row)
    texts = [(text, Language(text.language)) for text in texts_to_sign(day.cemetery)]
    context = {"day": day, "row": sign_up, "form": form, "papers": papers_of(sign_up)}
    status = 422 if form.errors else 200
    page = "workdays/waivers/paper.html"
    return render(request, page, context | {"texts": texts, "here": "days"}, status=status)


@require_safe
def waiver_print(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a text as a sheet with lines to sign."""
    row = access.waiver_for_staff(request, pk)
    context = {"waiver": row, "language": Language(row.language), "rules": rules_in(row.language)}
    return render(request, "workdays/sheets/waiver.html", context)


@require_safe
def paper_picture(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give the picture of a paper to the staff of the place where it was noted."""
    signature = access.paper_for_staff(request, pk)
    return private_file(signature.paper, name=f"paper-{pk}", as_attachment=False)


@behind_a_link
@require_safe
def own_paper(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Give the picture of a paper to who signed it, or for whom."""
    signature = access_links.own_signature(access.person_by_link(secret), pk)
    found = private_file(signature.paper, name=f"paper-{pk}", as_attachment=False)
    answer = HttpResponse(found.getvalue(), headers={**found.headers})
    found.close()
    return answer
