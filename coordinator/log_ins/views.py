"""Pages about how staff signs in: passkeys and sessions."""

from allauth.account import views as account
from allauth.account.models import Login
from allauth.mfa.models import Authenticator
from allauth.mfa.webauthn.internal.flows import perform_passwordless_login
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_not_required
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.adapter import MailboxForm
from coordinator.log_ins import actions, ceremony
from coordinator.log_ins.forms import NOT_TAKEN, AddForm, NameForm, SignInForm
from coordinator.models import Person, User
from coordinator.throttle import HOUR, is_flood


def _user(request: HttpRequest) -> User:
    assert isinstance(request.user, User)  # noqa: S101  # the middleware asks for a log-in
    return request.user


def _passkeys(request: HttpRequest) -> "QuerySet[Authenticator]":
    mine: QuerySet[Authenticator] = Authenticator.objects.filter(
        user=_user(request), type=Authenticator.Type.WEBAUTHN
    )
    return mine.order_by("pk")


@require_safe
def log_ins(request: HttpRequest) -> HttpResponse:
    """Show how one signs in, and the ways to change it."""
    passkeys = list(_passkeys(request))
    context = {
        "passkeys": passkeys,
        "may_add": len(passkeys) < actions.MOST_PASSKEYS,
        "idle_hours": settings.LOG_IN_IDLE_HOURS,
        "days": settings.LOG_IN_DAYS,
    }
    return render(request, "coordinator/log_ins/list.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def passkey_add(request: HttpRequest) -> HttpResponse:
    """Make a passkey in the browser and keep its public half."""
    if _passkeys(request).count() >= actions.MOST_PASSKEYS:
        messages.error(request, _("That is enough: remove a passkey before you add another."))
        return redirect("log_ins")
    form = AddForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        actions.add_passkey(_user(request), form.passkey())
        messages.success(request, _("The passkey works from now on."))
        return redirect("log_ins")
    context = {"form": form, "options": ceremony.options_to_add(_user(request))}
    return render(request, "coordinator/log_ins/add.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def passkey_name(request: HttpRequest, pk: int) -> HttpResponse:
    """Give one's passkey another name."""
    row = get_object_or_404(_passkeys(request), pk=pk)
    form = NameForm(
        request.POST if request.method == "POST" else None, initial={"name": row.data.get("name")}
    )
    if form.is_valid():
        actions.rename_passkey(row, form.cleaned_data["name"])
        return redirect("log_ins")
    return render(request, "coordinator/log_ins/name.html", {"form": form, "passkey": row})


@require_http_methods(["GET", "HEAD", "POST"])
def passkey_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once more, then take one's passkey away."""
    row = get_object_or_404(_passkeys(request), pk=pk)
    if request.method != "POST":
        return render(request, "coordinator/log_ins/remove.html", {"passkey": row})
    actions.remove_passkey(row)
    messages.success(request, _("The passkey is removed; it opens nothing any more."))
    return redirect("log_ins")


@require_POST
def log_out_everywhere(request: HttpRequest) -> HttpResponse:
    """End every session of one's own, this one too."""
    user = _user(request)
    actions.end_sessions(user, by=Person.objects.filter(user=user).first())
    logout(request)
    messages.success(request, _("You are signed out on every device."))
    return redirect("account_request_login_code")


@never_cache
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def passkey_sign_in(request: HttpRequest) -> HttpResponse:
    """Give a challenge to the script of the log-in page; sign in whoever answers it."""
    if _is_flood(request):
        return render(request, "429.html", status=429)
    if request.method != "POST":
        return HttpResponse(ceremony.options_to_sign_in(), content_type="application/json")
    owner = SignInForm(request.POST).owner()
    if owner is None:
        messages.error(request, str(NOT_TAKEN))
        return redirect("account_request_login_code")
    login = Login(user=owner.user, redirect_url=_next(request))
    answer: HttpResponse = perform_passwordless_login(request, owner, login)
    return answer


def _next(request: HttpRequest) -> str | None:
    wanted = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
    return wanted if ours else None


@login_not_required
def mailed_code(request: HttpRequest) -> HttpResponse:
    """Ask for a mailbox and mail a code; too many tries keep what was typed."""
    form = MailboxForm(request.POST) if request.method == "POST" else None
    if form and _is_flood(request, str(form["email"].value() or "").strip().lower()):
        form.errors.clear()
        form.add_error(None, _("That was asked for many times. Wait an hour, then try again."))
        return render(request, "account/request_login_code.html", {"form": form}, status=429)
    answer: HttpResponse = account.request_login_code(request)
    return answer


@login_not_required
def typed_code(request: HttpRequest) -> HttpResponse:
    """Ask for the code; a network that guesses on and on is stopped."""
    if request.method == "POST" and _is_flood(request):
        return render(request, "429.html", status=429)
    answer: HttpResponse = account.confirm_login_code(request)
    return answer


def _is_flood(request: HttpRequest, mailbox: str = "") -> bool:
    """Count one try against its network and, where one is named, its mailbox."""
    return is_flood(
        request,
        "log-in",
        *filter(None, [mailbox]),
        network_most=settings.LOG_INS_PER_NETWORK_HOUR,
        mailbox_most=settings.CODES_PER_MAILBOX_HOUR,
        mailbox_seconds=HOUR,
    )
