"""Which mails somebody wants, behind the own link; and the end of them by a mail's own address."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from workdays import access, access_links
from workdays.actions.openings import choose_mails, end_mails
from workdays.forms.openings import MailsForm
from workdays.queries.openings import wanted_by
from workdays.views.private import behind_a_link


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_mails(request: HttpRequest, secret: str) -> HttpResponse:
    """Say which mails always come, and take down which others somebody wants."""
    person = access.person_by_link(secret)
    wanted = list(wanted_by(person).values_list("cemetery", flat=True))
    form = MailsForm(request.POST if request.method == "POST" else None, initial={"places": wanted})
    if form.is_valid():
        choose_mails(person, form.cleaned_data["places"], now=timezone.now())
        messages.success(request, _("Kept."))
        return redirect("own_mails", secret)
    status = 422 if form.is_bound else 200
    context = {"person": person, "form": form}
    return render(request, "workdays/own/mails.html", context, status=status)


@csrf_exempt
@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def no_more(request: HttpRequest, secret: str) -> HttpResponse:
    """Show a button on a look, for programs follow links; end the mails on a press.

    A mail program posts without cookies and follows no redirect (RFC 8058, 3.1 and 3.2), so the
    secret in the address is all that counts, and the answer is this very page.
    """
    wish = access_links.opening_mail(secret)
    if request.method == "POST":
        wish.ended_at = end_mails(wish.pk, now=timezone.now()).ended_at
    return render(request, "workdays/public/no_more.html", {"wish": wish})
