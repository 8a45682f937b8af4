"""What is kept of people who were erased: a list without names, and one opened for a claim."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from workdays import access
from workdays.actions.erasing import open_kept
from workdays.forms.kept import ClaimForm
from workdays.queries.kept import erased_counts, kept_rows, signed_by_or_for


@require_safe
def kept_list(request: HttpRequest) -> HttpResponse:
    """List who was erased, by number and date, and until when what is kept of them."""
    access.organiser_everywhere(request)
    erased, kept = erased_counts()
    context = {"here": "people", "erased": erased, "kept": kept, "rows": kept_rows()}
    return render(request, "workdays/people/kept.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def kept_one(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask what for; show what is kept in the answer to the press alone, and note who opened it."""
    kept = access.kept_for_organiser(request, pk)
    form = ClaimForm(request.POST if request.method == "POST" else None)
    context = {"here": "people", "kept": kept, "form": form}
    if form.is_valid():
        open_kept(kept, by=access.viewer(request).person)
        context["signatures"] = list(signed_by_or_for(kept))
        context["is_open"] = True
    answer = render(request, "workdays/people/kept_one.html", context)
    answer["Cache-Control"] = "no-store"
    return answer
