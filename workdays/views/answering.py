"""The page behind the mailed link of an adult whom somebody else named."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from coordinator.refused import Refused, attempt
from workdays import access_links
from workdays.actions import answering, places
from workdays.forms.sign_up import AnswerForm
from workdays.models import SignUp
from workdays.queries import own, public, sign_ups
from workdays.views.private import behind_a_link
from workdays.views.sign_up import dead_link, too_late
from workdays.views.to_sign import about, shown_to_sign


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def answer(request: HttpRequest, token: str) -> HttpResponse:
    """Say what is asked and why; the person signs for themselves and comes, or says no."""
    opened = access_links.by_token(sign_ups.ANSWER, token, sign_ups.confirm_state)
    row = opened.row
    if opened.why_not or row is None:
        return dead_link(request, opened)
    if "leave" in request.POST:
        return _leave(request, row)
    text = shown_to_sign(request, row.day.cemetery)
    context = {**own.about(row), "day": row.day, **about(text)}
    if text is None:
        return render(request, "workdays/public/no_waiver.html", context, status=409)
    form = AnswerForm(
        request.POST or None, row=row, day=row.day, skills=public.skills(), waiver=text.waiver
    )
    if form.is_valid():
        said, now = form.application(), timezone.now()
        taken = attempt(form, lambda: answering.answer(row.pk, said, now=now))
        if taken:
            return render(request, "workdays/public/confirmed.html", own.about(taken))
    return render(request, "workdays/public/answer.html", {**context, "form": form})


def _leave(request: HttpRequest, row: SignUp) -> HttpResponse:
    try:
        gone = places.withdraw(row.pk, now=timezone.now())
    except Refused as refused:
        return too_late(request, row, refused)
    return render(request, "workdays/public/left.html", own.about(gone))
