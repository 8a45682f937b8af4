"""The mail that was sent, or that waits: for organisers of the whole programme."""

from csp.constants import NONE, UNSAFE_INLINE
from csp.decorators import csp_replace
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_safe

from workdays import access
from workdays.queries import kept_mail as queries

# A mail's own page: nothing runs, nothing is fetched, only its own styles hold.
CLOSED = {
    "default-src": [NONE],
    "style-src": [UNSAFE_INLINE],
    "img-src": ["data:"],
    "frame-ancestors": ["'self'"],
    "sandbox": ["allow-popups", "allow-popups-to-escape-sandbox"],
}


def _check(request: HttpRequest) -> None:
    if not access.organiser(request).everywhere:
        raise PermissionDenied("Mail is shown to organisers of the whole programme.")


@require_safe
def mail(request: HttpRequest) -> HttpResponse:
    """Show messages, newest first, of one mailbox when asked for it."""
    _check(request)
    mailbox = request.GET.get("to", "").strip()[:254]
    page = queries.page_of_mail(request.GET.get("page", ""), mailbox=mailbox)
    context = {"page": page, "mailbox": mailbox}
    return render(request, "workdays/kept_mail/list.html", context)


@require_safe
def mail_message(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one message as text, and as its reader sees it."""
    _check(request)
    row = queries.message(pk)
    context = {"message": row, "shown": queries.words_of(row)}
    return render(request, "workdays/kept_mail/one.html", context)


@require_safe
@xframe_options_sameorigin
@csp_replace(CLOSED)  # type: ignore[arg-type]  # its types know no view with arguments
def mail_html(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the HTML of one message on a page of its own, where nothing of it can act."""
    _check(request)
    return HttpResponse(queries.words_of(queries.message(pk)).html)
