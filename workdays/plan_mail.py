"""Tell people what a newly published plan means for them."""

from datetime import datetime

from coordinator import links, outbox
from coordinator.models import Person
from workdays import invites
from workdays.models import CrewPlan, SignUp, Workday
from workdays.queries.crews import CrewView, cautions, crews_of
from workdays.queries.planning import person_key
from workdays.queries.plans import plan_of
from workdays.rules.changes import people_changed
from workdays.rules.facts import Plan


def tell(day: Workday, plan: CrewPlan, before: Plan, *, now: datetime) -> int:
    """Mail everybody whose crew, lead, hours or stones are new; return how many.

    Somebody who lost their part is told so too. People without a mailbox read it on the sheet.
    """
    changed = people_changed(before, plan_of(plan))
    crews = crews_of(plan)
    told = 0
    for sign_up in _coming(day):
        if person_key(sign_up.person_id) in changed and sign_up.person.email:
            _mail(sign_up, plan, [crew for crew in crews if sign_up.person in crew.people])
            told += 1
    invites.invite_all(day, now=now, rescheduled=False)
    return told


def _coming(day: Workday) -> list[SignUp]:
    rows = day.sign_ups.filter(state=SignUp.State.COMING).select_related("person", "day__cemetery")
    return list(rows.order_by("person__name", "pk"))


def _mail(sign_up: SignUp, plan: CrewPlan, crews: list[CrewView]) -> None:
    person: Person = sign_up.person
    context = {
        "person": person,
        "day": sign_up.day,
        "zone": sign_up.day.cemetery.zone,
        "crews": crews,
        "kinds": cautions(crews),
        "link": links.absolute("own_day", person.secret, sign_up.pk),
    }
    letter = outbox.compose(
        "workdays/mail/crew", context, reason="crew", to_address=person.email, person=person
    )
    outbox.queue(letter, key=f"crew:{plan.pk}:{person.pk}")
