"""Tell people what a newly published plan means for them."""

from collections.abc import Collection, Sequence
from datetime import datetime

from coordinator import links, outbox
from coordinator.models import Person
from workdays import invites
from workdays.models import CrewPlan, SignUp, Workday
from workdays.queries.crews import CrewView, cautions, crews_of
from workdays.queries.plan_keys import person_key
from workdays.queries.plans import plan_of
from workdays.queries.sign_ups import coming_by_name
from workdays.rules.changes import people_changed
from workdays.rules.facts import Plan
from workdays.rules.plan_difference import Said, own


def tell(
    day: Workday,
    plan: CrewPlan,
    before: Plan,
    *,
    now: datetime,
    changes: Sequence[Said] = (),
    away: Collection[str] = (),
) -> int:
    """Mail everybody whose crew, lead, hours or stones are new; return how many.

    Somebody who lost their part is told so too. People without a mailbox read it on the sheet.
    ``changes``: what changes in words, of which each reads their own. ``away``: who is known not
    to be there in what is left of the day is not told.
    """
    changed = people_changed(before, plan_of(plan)) - set(away)
    crews = crews_of(plan)
    told = 0
    for sign_up in coming_by_name(day).select_related("day__cemetery"):
        key = person_key(sign_up.person_id)
        if key in changed and sign_up.person.email:
            mine = [crew for crew in crews if sign_up.person in crew.people]
            _mail(sign_up, plan, mine, [said.sentence for said in own(changes, key)])
            told += 1
    invites.invite_all(day, now=now, rescheduled=False)
    return told


def _mail(sign_up: SignUp, plan: CrewPlan, crews: list[CrewView], news: list[str]) -> None:
    person: Person = sign_up.person
    context = {
        "person": person,
        "day": sign_up.day,
        "zone": sign_up.day.cemetery.zone,
        "crews": crews,
        "since": plan.begins_at,
        "news": list(dict.fromkeys(news)),
        "kinds": cautions(crews),
        "link": links.absolute("own_day", person.secret, sign_up.pk),
    }
    letter = outbox.compose(
        "workdays/mail/crew", context, reason="crew", to_address=person.email, person=person
    )
    outbox.queue(letter, key=f"crew:{plan.pk}:{person.pk}")
