"""Change a plan by hand: one press, one change, checked at once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_POST

from coordinator.models import Person
from coordinator.refused import attempt, refusals_told
from workdays import access
from workdays.actions import hands as actions
from workdays.forms.hand import Hand, HandForm, VersionForm
from workdays.models import CrewPlan
from workdays.queries.hands_page import hands_of
from workdays.queries.plan_page import plan_page
from workdays.views.plan import plan_response

SAID = {
    "put": gettext_noop("%(what)s: moved, and pinned there. The plan holds every rule."),
    "out": gettext_noop("%(what)s: taken out, and kept out when the rest is planned again."),
    "swap": gettext_noop("%(what)s and %(other)s: changed places, and pinned there."),
    "earlier": gettext_noop("%(what)s: done earlier. The plan holds every rule."),
    "later": gettext_noop("%(what)s: done later. The plan holds every rule."),
    "pin": gettext_noop("%(what)s: pinned. It stays so when the rest is planned again."),
    "unpin": gettext_noop("%(what)s: not pinned any more."),
    "lock": gettext_noop("%(what)s: locked. It stays as it is when the rest is planned again."),
    "unlock": gettext_noop("%(what)s: not locked any more."),
    "apart": gettext_noop("%(what)s and %(other)s: kept apart on this day."),
    "together": gettext_noop("%(what)s and %(other)s: may be in one crew again."),
}


def _with_person(plan: CrewPlan, hand: Hand, person: Person, by: Person) -> None:
    block, version = hand.chip.block if hand.chip else 0, hand.version
    block = block or 0
    if hand.act in {"put", "out"}:
        lead = hand.to.crew.lead if hand.to else person
        to = lead if hand.act == "put" else None
        actions.move_person(plan, person, block=block, to=to, version=version, by=by)
    elif hand.act in {"pin", "unpin"}:
        pinned = hand.act == "pin"
        actions.pin_person(plan, person, block=block, pinned=pinned, version=version, by=by)
    elif hand.other and hand.act == "swap":
        actions.swap_people(plan, person, hand.other, block=block, version=version, by=by)
    elif hand.other:
        apart = hand.act == "apart"
        actions.keep_apart(plan, person, hand.other, apart=apart, version=version, by=by)


def _with_job(plan: CrewPlan, hand: Hand, job: int, by: Person) -> None:
    version = hand.version
    if hand.act == "put" and hand.to:
        to = hand.to
        actions.move_job(plan, job, block=to.block, to=to.crew.lead, version=version, by=by)
    elif hand.act == "out":
        actions.take_job_out(plan, job, version=version, by=by)
    elif hand.act in {"pin", "unpin"}:
        actions.pin_job(plan, job, pinned=hand.act == "pin", version=version, by=by)
    else:
        places = -1 if hand.act == "earlier" else 1
        actions.shift_job(plan, job, places=places, version=version, by=by)


def carry_out(plan: CrewPlan, hand: Hand, by: Person) -> bool:
    """Do what the hand does; raises Refused as the actions do."""
    if hand.card:
        locked, block = hand.act == "lock", hand.card.block
        lead, version = hand.card.crew.lead, hand.version
        actions.lock_crew(plan, lead, block=block, locked=locked, version=version, by=by)
    elif hand.chip and hand.chip.person:
        _with_person(plan, hand, hand.chip.person, by)
    elif hand.chip and hand.chip.job_pk:
        _with_job(plan, hand, hand.chip.job_pk, by)
    return True


def plan_hand(request: HttpRequest, pk: int) -> HttpResponse:
    """Change the plan by hand; refused with the rule's sentence. Read, it leads to the plan."""
    day = access.day_for_organiser(request, pk)
    if request.method != "POST":
        return redirect(f"{reverse('plan', args=[day.pk])}?{request.GET.urlencode()}#hands")
    page, by = plan_page(day), access.viewer(request).person
    hands = hands_of(day, page)
    if page.plan is None or hands is None:
        messages.error(request, _("There is no plan any more; nothing was changed."))
        return redirect("plan", pk=day.pk)
    plan, form = page.plan, HandForm(hands, request.POST)
    if form.is_valid() and attempt(form, lambda: carry_out(plan, form.hand(), by)):
        hand = form.hand()
        other = hand.other.name if hand.other else ""
        messages.success(request, _(SAID[hand.act]) % {"what": hand.words, "other": other})
        address, key = reverse("plan", args=[day.pk]), form.cleaned_data["take"]
        return redirect(f"{address}?at={key}#{key}")
    return plan_response(request, day, form=form)


@require_POST
def plan_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Go back to the plan before."""
    day = access.day_for_organiser(request, pk)
    page, form = plan_page(day), VersionForm(request.POST)
    version = form.cleaned_data["version"] if form.is_valid() else 0
    if page.plan is None:
        messages.error(request, _("There is no plan any more; nothing was changed."))
        return redirect("plan", pk=day.pk)
    change = page.plan.get_change_display()
    with refusals_told(request):
        actions.undo(page.plan, version=version, by=access.viewer(request).person)
        messages.success(request, _("Taken back: %(change)s.") % {"change": change})
    return redirect(f"{reverse('plan', args=[day.pk])}#hands")
