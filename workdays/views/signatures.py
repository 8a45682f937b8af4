"""Pages of what was signed: take it back, have it as a PDF; for the person and for organisers."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator import audit, sheets
from coordinator.refused import attempt
from workdays import access, access_links
from workdays.actions.signatures import withdraw_signature
from workdays.forms.signatures import TakeBackForm
from workdays.models import Signature
from workdays.queries.naming import day_name
from workdays.queries.signatures import days_ahead
from workdays.views.private import behind_a_link
from workdays.views.telling import done


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_waiver_withdraw(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Say what follows, then take back what one signed."""
    person = access.person_by_link(secret)
    signature = access_links.own_signature(person, pk)
    if request.method != "POST":
        ahead = days_ahead(signature.person, now=timezone.now())
        days = [day_name(day) for day in ahead]
        context = {"person": person, "signature": signature, "days": days}
        return render(request, "workdays/own/waiver_withdraw.html", context)
    actor, now = audit.by_link(person), timezone.now()
    if done(request, lambda: withdraw_signature(pk, now=now, actor=actor)):
        messages.success(request, _("It is taken back, and holds no longer."))
    return redirect("own_waiver", secret, pk)


@behind_a_link
@require_safe
def own_waiver_pdf(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Give what one signed as a PDF; where that cannot be made, the page to print."""
    person = access.person_by_link(secret)
    signature = access_links.own_signature(person, pk)
    return _pdf(signature) or _to_print(request, "own_waiver", secret, pk)


@require_http_methods(["GET", "HEAD", "POST"])
def person_signature(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an organiser what somebody signed; note that it holds no longer."""
    signature = access.signature_for_organiser(request, pk)
    form = TakeBackForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        why, now = form.cleaned_data["why"], timezone.now()
        actor = audit.by_login(access.viewer(request).person)
        if attempt(form, lambda: withdraw_signature(pk, now=now, why=why, actor=actor)):
            messages.success(request, _("Noted: it holds no longer."))
            return redirect("person_signature", pk)
    holds = signature.confirmed_at and not signature.withdrawn_at
    context = {"here": "people", "signature": signature}
    context["form"] = form if holds or form.is_bound else None
    return render(request, "workdays/people/signature.html", context)


@require_safe
def person_signature_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """Give an organiser what somebody signed as a PDF."""
    signature = access.signature_for_organiser(request, pk)
    return _pdf(signature) or _to_print(request, "person_signature", pk)


def _pdf(signature: Signature) -> HttpResponse | None:
    template, name = "workdays/sheets/signed.html", f"signed-{signature.pk}"
    try:
        return sheets.pdf_response(template, {"signature": signature}, name)
    except sheets.NoPdf:
        return None


def _to_print(request: HttpRequest, page: str, *args: object) -> HttpResponse:
    messages.info(request, _("This machine cannot make PDFs; print the page instead."))
    return redirect(page, *args)
