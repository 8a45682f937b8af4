"""The weather call of a day, the page on which it is decided, and who has seen the notices."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.refused import attempt
from workdays import access
from workdays.actions.calls import Outcome, decide, tell_again
from workdays.call_notices import told_before
from workdays.forms.calls import DecideForm, first_reason
from workdays.models import Workday
from workdays.queries import told
from workdays.queries.call_page import CallPage, call_page
from workdays.queries.calls import day_to_call
from workdays.queries.naming import day_name
from workdays.rules.weather_call import Decision


@require_safe
def call(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what the weather does to a day, and what can be decided."""
    day, who = access.day_for_staff(request, pk), access.viewer(request)
    context = {
        "day": day,
        "page": call_page(day, now=timezone.now()),
        "rounds": told.rounds(day)[:1],
        "may_decide": who.may_organise(day.cemetery_id),
        "here": "days",
    }
    return render(request, "workdays/call/call.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def call_decide(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what a decision does and whom it reaches, then take it."""
    day, who = access.day_for_organiser(request, pk), access.viewer(request)
    now, decision, given = timezone.now(), _decision(request), request.POST or None
    if decision is None:
        messages.warning(request, _("Choose first what to decide."))
        return redirect("call", pk)
    page = call_page(day, now=now)
    form = DecideForm(
        given,
        decision=decision,
        facts=day_to_call(day),
        told=told_before(day),
        initial=_initial(request, page, decision),
    )
    if given and form.is_valid():
        done = attempt(form, lambda: decide(pk, form.wish(), by=who.person, now=now))
        if done:
            return _decided(request, day, done)
    context = {"day": day, "page": page, "form": form, "decision": decision.value, "here": "days"}
    context |= {"concerned": told.concerned_by(day), "day_name": day_name(day)}
    return render(request, "workdays/call/decide.html", context)


def _decision(request: HttpRequest) -> Decision | None:
    asked = (request.POST if request.method == "POST" else request.GET).get("decision", "")
    return Decision(asked) if asked in list(Decision) else None


def _initial(request: HttpRequest, page: CallPage, decision: Decision) -> dict[str, Any]:
    """Return what the page begins with: the rules' own reason, the hours that were asked."""
    changes = decision is not Decision.STANDS
    return {
        "decision": decision.value,
        "seen": page.token,
        "starts": request.GET.get("starts", ""),
        "ends": request.GET.get("ends", ""),
        "reason": first_reason(page.proposed.reasons) if page.proposed and changes else "",
    }


def _decided(request: HttpRequest, day: Workday, done: Outcome) -> HttpResponse:
    """Say what the decision came to and show whom it reached."""
    if done.repeated:
        messages.info(request, _("This was decided already; nothing was sent twice."))
        return redirect("notices" if done.call.notices.exists() else "call", day.pk)
    words = ngettext("%(n)s person has a notice.", "%(n)s people have a notice.", done.told)
    told_words = words % {"n": done.told} if done.told else _("Nobody had to be told.")
    said = done.call.get_decision_display()
    messages.success(request, _("Decided: %(said)s.") % {"said": said} + f" {told_words}")
    if done.plan_fell:
        sentence = _("The published plan does not fit any more and is put aside: plan again.")
        messages.warning(request, sentence)
    return redirect("notices" if done.told else "call", day.pk)


@require_safe
def notices(request: HttpRequest, pk: int) -> HttpResponse:
    """Show who has seen what they were told, and the others with their telephone."""
    day, who = access.day_for_staff(request, pk), access.viewer(request)
    context = {
        "day": day,
        "day_name": day_name(day),
        "rounds": told.rounds(day),
        "may_decide": who.may_organise(day.cemetery_id),
        "here": "days",
    }
    return render(request, "workdays/call/notices.html", context)


@require_POST
def notices_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Mail the newest decision once more to those who have not seen it."""
    day, who = access.day_for_organiser(request, pk), access.viewer(request)
    count = tell_again(day.pk, by=who.person, now=timezone.now())
    if count:
        words = ngettext("Mailed again to %(n)s person.", "Mailed again to %(n)s people.", count)
        messages.success(request, words % {"n": count})
    else:
        messages.info(request, _("Nothing was sent: the last mails left minutes ago, or all saw."))
    return redirect("notices", pk)
