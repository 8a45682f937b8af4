"""What an adult does who was named by another: sign for themselves and come."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.refused import refuse
from workdays.actions.places import locked_sign_up
from workdays.actions.sign_ups import Application, welcome
from workdays.actions.signing import METHOD, Act, sign
from workdays.models import SignUp
from workdays.queries import sign_ups, waivers
from workdays.rules import eligibility
from workdays.rules.affirming import affirmed
from workdays.rules.refusals import Refusal


@transaction.atomic
def answer(sign_up_id: int, application: Application, *, now: datetime) -> SignUp:
    """Take the answer of somebody named by another: contact, wishes, signature. Raises Refused."""
    row = locked_sign_up(sign_up_id)
    facts = sign_ups.open_day(row.day)
    refusals = eligibility.refusals_to_confirm(sign_ups.held(row), facts, now=now)
    if row.state == SignUp.State.COMING:
        refusals.append(Refusal("already", "You have said yes already: you're coming."))
    texts = waivers.texts_to_sign(row.day.cemetery)
    waiver = waivers.text_with(texts, application.text_sha256)
    comer = eligibility.Comer(application.is_adult, waiver is not None)
    refuse([*refusals, *eligibility.refusals_about(comer)])
    assert waiver is not None  # noqa: S101  # the rules refuse an answer without one
    _keep(row, application, now)
    _language, yes = affirmed(waiver.language)
    act = Act(yes, METHOD, application.typed_name, waiver.text)
    sign(row, waiver, act, by=row.person, now=now)
    detail = {"day": row.day_id, "state": row.state, "adult_age": row.day.cemetery.adult_age}
    audit.record(audit.by_link(row.person), "answered for themselves", row, detail)
    welcome(row, now=now)
    return row


def _keep(row: SignUp, application: Application, now: datetime) -> None:
    person = row.person
    said = {**vars(application.contact), "name": application.name, "confirmed_at": now}
    said["languages"] = application.wishes.languages
    for name, value in said.items():
        setattr(person, name, value)
    person.save(update_fields=[*said])
    for name, value in vars(application.wishes).items():
        setattr(row, name, value)
    row.state, row.held_until = SignUp.State.COMING, None
    row.save(update_fields=[*vars(application.wishes), "state", "held_until", "changed_at"])
