"""Pages of readings: which stones are to be read, and one reading written down beside a stone."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from coordinator.refused import Refused, refuse_into
from workdays import access
from workdays.actions.readings import record_reading
from workdays.forms.readings import ReadingForm
from workdays.queries.ground import today_at
from workdays.queries.readings import readings_page


def readings(request: HttpRequest, slug: str) -> HttpResponse:
    """List the stones that nobody has read, those that lose their face first."""
    place = access.cemetery_for_staff(request, slug)
    page = readings_page(place, page=request.GET.get("page", ""), now=timezone.now())
    return render(request, "workdays/ground/readings.html", {"cemetery": place, "page": page})


def reading_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down what a stone says, standing beside it."""
    stone = access.stone_for_staff(request, pk)
    now = timezone.now()
    form = ReadingForm(request.POST or None, today=today_at(stone.cemetery, now=now))
    if request.method == "POST" and form.is_valid():
        form.point_at_rows()
        try:
            record_reading(
                stone,
                on=form.cleaned_data["on"],
                lines=form.read_lines(),
                facts=form.facts(),
                notes=form.cleaned_data["notes"],
                by=access.viewer(request).person,
                now=now,
            )
            messages.success(request, _("The reading is kept."))
            return redirect(stone)
        except Refused as refused:
            refuse_into(form, refused)
    context = {"cemetery": stone.cemetery, "stone": stone, "form": form}
    return render(request, "workdays/ground/reading_new.html", context)
