"""Somebody signs anew, by the own link, for a day they are on already."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from coordinator.refused import carried_out
from workdays import access, access_links
from workdays.actions.signing_anew import sign_anew
from workdays.forms.signing_anew import AnewForm
from workdays.queries import own
from workdays.queries.unsigned import may_be_signed_for, relations_said, unsigned
from workdays.rules.young_people import rules_in
from workdays.views.private import behind_a_link
from workdays.views.to_sign import about, shown_to_sign


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_sign(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show the text that is missing for a day; take the signature."""
    person, now = access.person_by_link(secret), timezone.now()
    row = access_links.own_sign_up(person, pk)
    text, missing = shown_to_sign(request, row.day.cemetery), unsigned(row)
    if text is None or not missing or not may_be_signed_for(row, now=now):
        messages.info(request, _("Nothing is to be signed for this day now."))
        return redirect("own_day", secret, pk)
    form = AnewForm(
        request.POST if request.method == "POST" else None,
        waiver=text.waiver,
        row=row,
        missing=missing,
        relations=relations_said(missing),
    )
    if form.is_valid() and carried_out(
        form, lambda: sign_anew(row, form.anew(), by=person, now=now)
    ):
        messages.success(request, _("Signed. A copy is on its way to your mailbox."))
        return redirect("own_day", secret, pk)
    context = {"person": person, "form": form, "young_rules": rules_in(text.waiver.language)}
    return render(request, "workdays/own/sign.html", {**context, **own.about(row), **about(text)})
