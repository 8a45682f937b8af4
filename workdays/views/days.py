"""Making, changing and opening a day, and the list of days."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.refused import Refused, attempt
from workdays import access
from workdays.actions.days import change_day, make_day, open_day
from workdays.forms.days import DayForm, day_initial, new_day_initial
from workdays.queries.days import day_rows, days_past, days_to_come

PAST_ON_A_PAGE = 30


@require_safe
def days(request: HttpRequest) -> HttpResponse:
    """List the days to come and those that are over."""
    who, now = access.viewer(request), timezone.now()
    seen = who.seen()
    page = Paginator(days_past(seen, now=now), PAST_ON_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "here": "days",
        "to_come": day_rows(days_to_come(seen, now=now), now=now),
        "past": day_rows(page.object_list, now=now),
        "page": page,
        "may_make": who.is_organiser,
    }
    return render(request, "workdays/days/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def day_new(request: HttpRequest) -> HttpResponse:
    """Make a day or a clinic."""
    who = access.organiser(request)
    at = who.organised().filter(slug=request.GET.get("cemetery", "")).first()
    form = DayForm(
        request.POST if request.method == "POST" else None,
        cemeteries=who.organised(),
        initial=new_day_initial(at),
        submit=_("Make this day"),
    )
    if form.is_valid():
        now = timezone.now()
        day = attempt(form, lambda: make_day(form.wishes(), by=who.person, now=now))
        if day is not None:
            messages.success(request, _("The day is made. It is not open for sign-up yet."))
            return redirect("day_desk", day.pk)
    return render(request, "workdays/days/new.html", {"form": form, "here": "days"})


@require_http_methods(["GET", "HEAD", "POST"])
def day_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a day before it begins."""
    day = access.day_for_organiser(request, pk)
    who = access.organiser(request)
    form = DayForm(
        request.POST if request.method == "POST" else None,
        cemeteries=who.organised(),
        day=day,
        initial=day_initial(day),
        submit=_("Keep what changed"),
    )
    if form.is_valid():
        now = timezone.now()
        if attempt(form, lambda: change_day(pk, form.wishes(), by=who.person, now=now)):
            messages.success(request, _("Kept. Those who come are told of a new time or place."))
            return redirect("day_desk", pk)
    context = {"form": form, "here": "days", "row": day_rows([day], now=timezone.now())[0]}
    return render(request, "workdays/days/edit.html", context)


@require_POST
def day_open(request: HttpRequest, pk: int) -> HttpResponse:
    """Open a day for sign-up; what keeps it shut is said on its desk."""
    day = access.day_for_organiser(request, pk)
    try:
        open_day(day.pk, by=access.organiser(request).person, now=timezone.now())
    except Refused as refused:
        for refusal in refused.refusals:
            messages.error(request, refusal.sentence)
    else:
        messages.success(request, _("The day is open: it stands on the public list now."))
    return redirect("day_desk", pk)
