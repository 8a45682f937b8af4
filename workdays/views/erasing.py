"""Be erased, behind the own link: what goes, what is kept and until when; then done."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from workdays import access
from workdays.actions.erasing import erase
from workdays.queries.erasing import erasing_of
from workdays.views.private import behind_a_link
from workdays.views.telling import done


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_erase(request: HttpRequest, secret: str) -> HttpResponse:
    """Say what goes and what is kept; erase the person when they press the button."""
    person, now = access.person_by_link(secret), timezone.now()
    if request.method == "POST":
        if done(request, lambda: erase(person.pk, now=now)):
            return redirect("erased")
        return redirect("own_erase", secret)
    context = {"person": person, "erasing": erasing_of(person, now=now)}
    return render(request, "workdays/own/erase.html", context)


@login_not_required
@require_safe
def erased(request: HttpRequest) -> HttpResponse:
    """Say what follows once somebody is erased; a page for everybody, for their link is dead."""
    return render(request, "workdays/public/erased.html")
