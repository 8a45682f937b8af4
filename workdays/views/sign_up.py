"""The public form, and the pages behind the links of the first mail and of an offer."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.refused import Refused, attempt
from coordinator.throttle import DAY, is_flood, too_many
from workdays import access, access_links
from workdays.actions import places
from workdays.actions import sign_ups as actions
from workdays.forms.sign_up import SignUpForm
from workdays.models import SignUp
from workdays.queries import own, public, sign_ups
from workdays.views.private import behind_a_link
from workdays.views.to_sign import about, shown_to_sign
from workdays.waiting_list import OFFER, offer_state


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def sign_up(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask one adult for everything that a place needs, and take it."""
    row = access.public_day(pk)
    shown = public.public_days([row], now=timezone.now())[0]
    text = shown_to_sign(request, row.cemetery)
    context = {"day": row, "public_day": shown, **about(text)}
    if text is None or not shown.takes_people:
        return render(request, "workdays/public/shut.html", context, status=_shut(request))
    sent = request.POST if request.method == "POST" else None
    context |= public.about_minors(row, text.waiver.language)
    form = SignUpForm(sent, day=row, skills=public.skills(), waiver=text.waiver)
    status = 200
    if form.is_valid():
        if _is_flood(request, form):
            form.add_error(None, _("Many sign-ups came from here. Try again later or telephone."))
            status = 429
        else:
            now = timezone.now()
            taken = attempt(form, lambda: actions.sign_up(pk, form.application(), now=now))
            if taken:
                return redirect(_sent_address(taken))
    return render(request, "workdays/public/sign_up.html", {**context, "form": form}, status=status)


def _shut(request: HttpRequest) -> int:
    return 409 if request.method == "POST" else 200


def _is_flood(request: HttpRequest, form: SignUpForm) -> bool:
    """Count one sign-up against its network and its mailboxes."""
    named = [one.email for one in form.companions() if one.email]
    return is_flood(
        request,
        "sign-up",
        form.cleaned_data["email"],
        *named,
        network_most=settings.SIGN_UPS_PER_NETWORK_HOUR,
        mailbox_most=settings.SIGN_UPS_PER_MAILBOX_DAY,
    )


def is_flood_of_mailboxes(form: SignUpForm) -> bool:
    """Count one sign-up against its mailboxes alone, with those that came by the public form."""
    named = [one.email for one in form.companions() if one.email]
    most = settings.SIGN_UPS_PER_MAILBOX_DAY
    full = [
        too_many("sign-up-mailbox", box, most=most, seconds=DAY)
        for box in (form.cleaned_data["email"], *named)
    ]
    return any(full)


def _sent_address(row: SignUp) -> str:
    address = reverse("sign_up_sent", args=[row.day_id])
    return f"{address}?list" if row.state == SignUp.State.WAITING else address


@login_not_required
@require_safe
def sign_up_sent(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that a mail is on its way; the same for every mailbox, known or not."""
    row = access.public_day(pk)
    until = sign_ups.held_until_words(row, now=timezone.now())
    asked = {"waits": "list" in request.GET, "is_group": "group" in request.GET}
    context = {"day": row, "until": until, **asked}
    return render(request, "workdays/public/sent.html", context)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def confirm_sign_up(request: HttpRequest, token: str) -> HttpResponse:
    """Show what is to be confirmed; the button says yes."""
    opened = access_links.by_token(sign_ups.CONFIRM, token, sign_ups.confirm_state)
    if opened.why_not or opened.row is None:
        return dead_link(request, opened)
    if request.method != "POST":
        context = {**own.about(opened.row), "signature": opened.row.person.signatures.first()}
        context["others"] = sign_ups.came_with(opened.row)
        return render(request, "workdays/public/confirm.html", context)
    try:
        row = places.confirm(opened.row.pk, now=timezone.now())
    except Refused as refused:
        return too_late(request, opened.row, refused)
    return render(request, "workdays/public/confirmed.html", own.about(row))


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def take_offer(request: HttpRequest, token: str) -> HttpResponse:
    """Show the offered place; one button takes it, the other leaves it to the next."""
    opened = access_links.by_token(OFFER, token, offer_state)
    if opened.why_not or opened.row is None:
        return dead_link(request, opened)
    if request.method != "POST":
        return render(request, "workdays/public/offer.html", own.about(opened.row))
    act = places.withdraw if "leave" in request.POST else places.take
    try:
        row = act(opened.row.pk, now=timezone.now())
    except Refused as refused:
        return too_late(request, opened.row, refused)
    return render(request, "workdays/public/confirmed.html", own.about(row))


def dead_link(request: HttpRequest, opened: access_links.Opened) -> HttpResponse:
    """Say why a link opens nothing: 404 for one that was never ours, 410 for one that was."""
    status = 404 if opened.why_not == "altered" else 410
    return render(request, "workdays/public/dead_link.html", {"opened": opened}, status=status)


def too_late(request: HttpRequest, row: SignUp, refused: Refused) -> HttpResponse:
    """Say why something cannot be done any more."""
    context = {"row": row, "refusals": refused.refusals}
    return render(request, "workdays/public/too_late.html", context, status=410)
