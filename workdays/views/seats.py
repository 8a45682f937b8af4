"""Seats behind the own link: who offers and wants them, one question, the answer."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from workdays import access, access_links
from workdays.actions import seats as actions
from workdays.forms.seats import AnswerForm, AskForm
from workdays.queries import own, seats
from workdays.views.private import behind_a_link
from workdays.views.telling import done


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_seats(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show seats offered and wanted, by place; ask one of those people."""
    person = access.person_by_link(secret)
    row = access_links.own_sign_up(person, pk)
    if request.method == "POST":
        form, now = AskForm(request.POST), timezone.now()
        if not form.is_valid():
            messages.error(request, _("Choose one of the seats on this page."))
            return redirect("own_seats", secret, pk)
        other = form.cleaned_data["other"]
        if done(request, lambda: actions.ask(pk, other, now=now)):
            messages.success(request, _("Asked. You get a mail when they answer."))
        return redirect("own_seats", secret, pk)
    page = seats.seats_page(row, now=timezone.now())
    context = {"person": person, "page": page, **own.about(row)}
    return render(request, "workdays/own/seats.html", context)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_seat(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show one question about seats; agree to it, refuse it, take it back."""
    person = access.person_by_link(secret)
    asked, row = access_links.own_seat_request(person, pk)
    if request.method == "POST":
        form, now = AnswerForm(request.POST), timezone.now()
        if not form.is_valid():
            messages.error(request, _("Press one of the buttons of this page."))
            return redirect("own_seat", secret, pk)
        agrees = form.cleaned_data["answer"] == "agree"
        act = actions.agree if agrees else actions.decline
        done(request, lambda: act(pk, row.pk, now=now))
        return redirect("own_seat", secret, pk)
    question = seats.question(asked, row, now=timezone.now())
    context = {"person": person, "question": question, **own.about(row)}
    return render(request, "workdays/own/seat.html", context)
