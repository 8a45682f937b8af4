"""The page that looks ahead: how many days, with a range, clear a section or a promise."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from workdays import access
from workdays.forms.ahead import AheadForm
from workdays.queries.ahead import ahead_ground
from workdays.queries.ahead_page import ahead_page


@require_safe
def look_ahead(request: HttpRequest, slug: str) -> HttpResponse:
    """Show how many days some work takes with the people who usually come."""
    place = access.cemetery_for_organiser(request, slug)
    ground = ahead_ground(place, now=timezone.now())
    form = AheadForm(request.GET.dict(), ground=ground)
    page = ahead_page(ground, form.question()) if form.is_valid() else None
    context = {"cemetery": place, "form": form, "page": page}
    status = 422 if form.errors else 200
    return render(request, "workdays/ground/look_ahead.html", context, status=status)
