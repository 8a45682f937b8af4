"""The page of the morning: who is missing, and planning the rest of the day again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from coordinator.health import worker_is_late
from coordinator.models import Person
from coordinator.refused import attempt
from workdays import access
from workdays.actions.plan_now import note_missing, plan_from_now
from workdays.forms.plan_now import PlanNowForm
from workdays.models import Workday
from workdays.queries.now_page import NowPage, now_page


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def plan_now(request: HttpRequest, pk: int) -> HttpResponse:
    """Say who is missing and who came; note what is said of them, ask for a plan of the rest."""
    day = access.day_for_organiser(request, pk)
    now, sent = timezone.now(), request.method == "POST"
    page = now_page(day, now=now)
    form = PlanNowForm(page, request.POST if sent else None)
    context = {"here": "days", "day": day, "zone": page.zone, "page": page, "form": form}
    if page.why_not:
        return render(request, "workdays/plan/now.html", context, status=409 if sent else 200)
    if sent and form.is_valid():
        answer = _carried_out(request, day, page, form)
        if answer:
            return answer
    context |= {"late": worker_is_late(now)}
    return render(request, "workdays/plan/now.html", context, status=422 if form.errors else 200)


def _carried_out(
    request: HttpRequest, day: Workday, page: NowPage, form: PlanNowForm
) -> HttpResponse | None:
    """Do what was pressed; None: it was refused, and the form says why."""
    by, now = access.viewer(request).person, timezone.now()
    if "note" in request.POST:
        return _noted(request, day, form, by)
    run = attempt(form, lambda: plan_from_now(day, form.asked(), form.words(), by=by, now=now))
    return redirect("plan", pk=day.pk) if run else None


def _noted(
    request: HttpRequest, day: Workday, form: PlanNowForm, by: Person
) -> HttpResponse | None:
    now = timezone.now()
    changed = attempt(form, lambda: note_missing(day, form.words(), by=by, now=now))
    if changed is None:
        return None
    said = ngettext("Noted of %d person.", "Noted of %d people.", changed) % changed
    messages.success(request, said if changed else _("This was noted already."))
    return redirect("plan_now", pk=day.pk)
