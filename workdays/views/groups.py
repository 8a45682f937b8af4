"""Places for a school or team: asking, the leader's yes and page, the link that is shared."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from coordinator import links
from coordinator.refused import Refused, attempt
from coordinator.throttle import HOUR, is_flood, too_many
from workdays import access, access_links
from workdays.actions import groups as actions
from workdays.actions import sign_ups
from workdays.drawing.qr import qr_svg
from workdays.forms.groups import GiveBackForm, GroupForm
from workdays.forms.sign_up import SignUpForm
from workdays.models import Party
from workdays.queries import groups, naming, public
from workdays.views.private import behind_a_link
from workdays.views.sign_up import is_flood_of_mailboxes
from workdays.views.to_sign import about, shown_to_sign


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def ask_for_places(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the leader of a group how many places to hold, and hold them."""
    day, now = access.public_day(pk), timezone.now()
    shown = public.public_days([day], now=now)[0]
    context: dict[str, object] = {"day": day, "public_day": shown}
    if not shown.takes_people:
        status = 409 if request.method == "POST" else 200
        return render(request, "workdays/public/shut.html", context, status=status)
    form = GroupForm(request.POST if request.method == "POST" else None)
    status = 200
    if form.is_valid():
        if _is_flood(request, form):
            form.add_error(None, _("Many sign-ups came from here. Try again later or telephone."))
            status = 429
        elif attempt(form, lambda: actions.hold_places(pk, form.wishes(), now=now)):
            return redirect(f"{reverse('sign_up_sent', args=[pk])}?group")
    return render(request, "workdays/groups/ask.html", {**context, "form": form}, status=status)


def _is_flood(request: HttpRequest, form: GroupForm) -> bool:
    return is_flood(
        request,
        "sign-up",
        form.cleaned_data["email"],
        network_most=settings.SIGN_UPS_PER_NETWORK_HOUR,
        mailbox_most=settings.SIGN_UPS_PER_MAILBOX_DAY,
    )


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def confirm_group(request: HttpRequest, token: str) -> HttpResponse:
    """Show the places to be held; the button says yes."""
    try:
        party = access_links.group_by_token(token)
    except links.Dead as dead:
        status = 404 if dead.why == "altered" else 410
        return render(request, "workdays/groups/dead_link.html", {"why": dead.why}, status=status)
    if request.method != "POST":
        context = {"group": groups.group(party, now=timezone.now())}
        return render(request, "workdays/groups/confirm.html", context)
    try:
        party = actions.confirm_group(party.pk, now=timezone.now())
    except Refused as refused:
        said = {"row": party, "refusals": refused.refusals}
        return render(request, "workdays/public/too_late.html", said, status=410)
    return redirect("own_group", access_links.secret_of_leader(party), party.pk)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_group(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show a leader the group; places can be given back and the share link renewed."""
    person = access.person_by_link(secret)
    party = access_links.own_group(person, pk)
    if request.method == "POST" and "renew" in request.POST:
        actions.renew_share_link(party.pk)
        messages.success(request, _("The old share link is dead; this is the new one."))
        return redirect("own_group", secret, pk)
    form = GiveBackForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        given, now = form.cleaned_data["given"], timezone.now()
        if attempt(form, lambda: actions.give_places_back(party.pk, given, now=now)):
            messages.success(request, _("Thank you: others can have these places now."))
            return redirect("own_group", secret, pk)
    share = links.absolute("group_sign_up", party.secret)
    group = groups.group(party, now=timezone.now())
    context = {"person": person, "group": group, "form": form, "share": share, "qr": qr_svg(share)}
    return render(request, "workdays/groups/own.html", context)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def group_sign_up(request: HttpRequest, secret: str) -> HttpResponse:
    """Sign up into a place that a group holds."""
    party = access_links.group_by_secret(secret)
    text = shown_to_sign(request, party.day.cemetery) if party else None
    if party is None or text is None or not groups.is_open(party, now=timezone.now()):
        return render(request, "workdays/groups/gone.html", {"party": party}, status=410)
    day, sent = party.day, request.POST if request.method == "POST" else None
    shown = public.public_days([day], now=timezone.now())[0]
    form = SignUpForm(sent, day=day, skills=public.skills(), waiver=text.waiver)
    context = {"day": day, "public_day": shown, "party": party, "form": form, **about(text)}
    status = 200
    if form.is_valid():
        if _is_flood_of_group(party, form):
            form.add_error(None, _("Many have used this link within the hour. Try again later."))
            status = 429
        elif _taken(form, party):
            return redirect("sign_up_sent", day.pk)
    context |= {**public.about_minors(day, text.waiver.language), "day_name": naming.day_name(day)}
    return render(request, "workdays/groups/sign_up.html", context, status=status)


def _is_flood_of_group(party: Party, form: SignUpForm) -> bool:
    """Count against the link, as a school comes from one network and must not stop itself.

    And against the mailboxes typed: whoever has a share link must not fill that of another.
    """
    most = settings.SIGN_UPS_PER_GROUP_HOUR
    full = too_many("sign-up-group", party.secret, most=most, seconds=HOUR)
    return is_flood_of_mailboxes(form) or full


def _taken(form: SignUpForm, party: Party) -> bool:
    def act() -> object:
        return sign_ups.sign_up(
            party.day_id, form.application(), now=timezone.now(), group=party.secret
        )

    return attempt(form, act) is not None
