"""Pages about the staff: who is in, who was asked; ask, take back, end; and the way in."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator import links
from coordinator.refused import attempt
from workdays import access, access_links
from workdays.actions import staff as actions
from workdays.forms.staff import AcceptForm, InviteForm
from workdays.queries import staff as queries
from workdays.queries.again import people_of
from workdays.views.private import behind_a_link
from workdays.views.telling import done


@require_safe
def staff(request: HttpRequest) -> HttpResponse:
    """List who may sign in, and who was asked to."""
    who = access.organiser_everywhere(request)
    lines = queries.staff_lines(who.person)
    context = {
        "lines": lines,
        "invitations": queries.open_invitations(now=timezone.now()),
        "here": "people",
    }
    return render(request, "workdays/staff/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def staff_invite(request: HttpRequest) -> HttpResponse:
    """Ask somebody into the staff."""
    who = access.organiser_everywhere(request)
    form = InviteForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        wish, now = form.wish(), timezone.now()
        if attempt(form, lambda: actions.invite(wish, by=who.person, now=now)):
            words = _("An invitation is on its way to %(email)s.")
            messages.success(request, words % {"email": wish.email})
            return redirect("staff")
    return render(request, "workdays/staff/invite.html", {"form": form, "here": "people"})


@require_POST
def invitation_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Make the link of an invitation useless."""
    row = access.invitation_for_organiser(request, pk)
    actions.take_back(row.pk, by=access.viewer(request).person, now=timezone.now())
    messages.success(request, _("The link of that invitation opens nothing any more."))
    return redirect("staff")


@require_http_methods(["GET", "HEAD", "POST"])
def staff_end(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once more, then take every role from somebody."""
    person = access.staff_for_organiser(request, pk)
    if request.method != "POST":
        return render(request, "workdays/staff/end.html", {"person": person, "here": "people"})
    by, now = access.viewer(request).person, timezone.now()
    if done(request, lambda: actions.end_access(pk, by=by, now=now)):
        words = _("%(name)s is signed out and has no role any more.")
        messages.success(request, words % {"name": person.name})
    return redirect("staff")


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def accept_invitation(request: HttpRequest, token: str) -> HttpResponse:
    """Show what somebody is asked to be; the button accepts and signs in."""
    try:
        row = access_links.invitation(links.read(queries.INVITE, token, queries.state_of))
    except links.Dead as dead:
        status = 404 if dead.why == "altered" else 410
        return render(request, "workdays/staff/dead.html", {"why": dead.why}, status=status)
    known = [one for one in people_of(row.email) if one.user_id is None]
    form = AcceptForm(request.POST if request.method == "POST" else None, known=known)
    if form.is_valid():
        user = attempt(form, lambda: actions.accept(row.pk, form.answer(), now=timezone.now()))
        if user:
            login(request, user, backend=settings.AUTHENTICATION_BACKENDS[0])
            return redirect("week")
    context = {"form": form, "row": row, "words": queries.invitation_words(row)}
    return render(request, "workdays/staff/accept.html", context)
