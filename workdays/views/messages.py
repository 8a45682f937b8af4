"""Write to the people of a day, see whom it reaches, send it; read what was written."""

import uuid
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.models import Person
from coordinator.refused import attempt
from coordinator.throttle import HOUR, too_many
from workdays import access
from workdays.actions.messages import Sent, send_message
from workdays.forms.messages import MessageForm
from workdays.models import Workday
from workdays.queries.day_people import part_names, parts_of, people_of
from workdays.queries.messages import EVERYBODY, audience_of_day, written
from workdays.queries.naming import day_name


@never_cache
@require_safe
def day_messages(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what was written to the people of a day, and what came of each mail."""
    day = access.day_for_staff(request, pk)
    context = {
        "day": day,
        "day_name": day_name(day),
        "written": written(day),
        "may_change": access.viewer(request).may_organise(day.cemetery_id),
        "here": "days",
    }
    return render(request, "workdays/messages/list.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def day_message(request: HttpRequest, pk: int) -> HttpResponse:
    """Write to people of a day; then the preview, from which it is sent."""
    day, by = access.day_for_organiser(request, pk), access.viewer(request).person
    names = part_names()
    people = people_of(day, names)
    form = MessageForm(
        request.POST if request.method == "POST" else None,
        people=people,
        parts=parts_of(people, names),
        initial={"part": request.GET.get("show") or EVERYBODY},
    )
    context = {"day": day, "day_name": day_name(day), "form": form, "here": "days"}
    if form.is_valid() and "change" not in request.POST:
        return _previewed(request, day, form, by, context)
    status = 422 if form.errors else 200
    return render(request, "workdays/messages/write.html", context, status=status)


def _previewed(
    request: HttpRequest, day: Workday, form: MessageForm, by: Person, context: dict[str, Any]
) -> HttpResponse:
    """Send what was previewed; else show whom it reaches now."""
    draft, status = form.draft(), 200
    if "send" in request.POST:
        sent = None
        if too_many("message", str(by.pk), most=settings.MESSAGES_PER_ORGANISER_HOUR, seconds=HOUR):
            form.add_error(None, _("You sent many messages within the hour. Try again later."))
        else:
            now = timezone.now()
            sent = attempt(form, lambda: send_message(day.pk, draft, by=by, now=now))
        if sent:
            _say(request, sent)
            return redirect("day_messages", pk=day.pk)
        status = 409
    found = audience_of_day(day, draft.part, draft.sign_ups)
    context |= {"draft": draft, "audience": found, "press": uuid.uuid4()}
    return render(request, "workdays/messages/preview.html", context, status=status)


def _say(request: HttpRequest, sent: Sent) -> None:
    if sent.repeated:
        messages.info(request, _("It was sent already; nothing was sent twice."))
        return
    words = ngettext("%d mail is on its way.", "%d mails are on their way.", sent.mails)
    messages.success(request, words % sent.mails)
    if sent.to_ring:
        ring = ngettext(
            "%d person has no mailbox: ring.", "%d have no mailbox: ring.", sent.to_ring
        )
        messages.warning(request, ring % sent.to_ring)
