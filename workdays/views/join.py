"""A known person signs up for another day by the own link: filled in, signed, sure at once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from coordinator.models import Person
from coordinator.refused import attempt
from workdays import access
from workdays.actions import sign_ups as actions
from workdays.forms.sign_up import SignUpForm
from workdays.forms.wishes import said_last
from workdays.models import Waiver, Workday
from workdays.queries import own, public, waivers
from workdays.views.private import behind_a_link
from workdays.views.to_sign import about, shown_to_sign


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_join(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Sign up for a day with what is known filled in; signed is only what does not hold yet."""
    person = access.person_by_link(secret)
    day = access.public_day(pk)
    shown = public.public_days([day], now=timezone.now())[0]
    text = shown_to_sign(request, day.cemetery)
    context = {"person": person, "day": day, "public_day": shown, **about(text)}
    if text is None or not shown.takes_people or person.is_provisional:
        return render(request, "workdays/public/shut.html", context)
    context |= public.about_minors(day, text.waiver.language)
    form = _form(request, person, day, text.waiver)
    if form.is_valid():
        now, asked = timezone.now(), form.application()
        row = attempt(form, lambda: actions.sign_up(pk, asked, now=now, person=person))
        if row:
            messages.success(request, _("Good: it is noted, and a mail is on its way."))
            return redirect("own_day", secret, row.pk)
    return render(request, "workdays/public/sign_up.html", {**context, "form": form})


def _form(request: HttpRequest, person: Person, day: Workday, waiver: Waiver) -> SignUpForm:
    skills = public.skills()
    return SignUpForm(
        request.POST if request.method == "POST" else None,
        day=day,
        skills=skills,
        waiver=waiver,
        known=person,
        signed=bool(waivers.people_with_waiver(day, [person.pk])),
        initial=said_last(person, own.last_said(person), skills),
    )
