"""Sign anew for a day one is on already: what was signed before no longer holds on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays import letters
from workdays.actions.bringing import Signing, sign_for_child
from workdays.actions.replanning import plan_again
from workdays.actions.signing import METHOD, Act, confirm, sign
from workdays.models import Signature, SignUp
from workdays.queries import waivers
from workdays.queries.locking import locked_day
from workdays.queries.unsigned import may_be_signed_for, unsigned
from workdays.rules import signing_anew as rules
from workdays.rules.affirming import affirmed


@dataclass(frozen=True)
class Anew:
    """What was typed. ``relations``: by the sign-ups of children for whom it is signed too."""

    typed_name: str
    text_sha256: str
    relations: Mapping[int, str]


@transaction.atomic
def sign_anew(row: SignUp, said: Anew, *, by: Person, now: datetime) -> None:
    """Store what somebody signs by the own link for a day they are on, and for their children.

    It holds at once, since the mailbox has answered before; a copy goes out by mail.
    Raises Refused: another text, a day that is over, nothing missing.
    """
    day = locked_day(row.day_id)
    row = SignUp.objects.select_related("person").get(pk=row.pk)
    row.day = day  # the locked one, with its cemetery
    waiver = waivers.text_with(waivers.texts_to_sign(day.cemetery), said.text_sha256)
    missing = unsigned(row)
    asked = [other for other in missing if other.pk in (row.pk, *said.relations)]
    on_the_list = may_be_signed_for(row, now=now)
    refuse(
        rules.refusals(
            on_the_list=on_the_list, is_current=waiver is not None, is_missing=bool(asked)
        )
    )
    assert waiver is not None  # noqa: S101  # the rule refuses a text that is not signed now
    signing = Signing(waiver, said.typed_name, now)
    given = [one for other in asked for one in _given(other, said, signing, by)]
    for signature in given:
        confirm(signature, now=now)
    for other in asked:
        audit.record(audit.by_link(by), "signed anew", other, {"day": day.pk})
    own = [one for one in given if one.role == Signature.Role.SELF]
    wards = [one for one in given if one.role == Signature.Role.GUARDIAN]
    letters.copy_of_waiver(row, [*own, *wards][0], wards, anew=True)
    plan_again(day)


def _given(row: SignUp, said: Anew, signing: Signing, by: Person) -> list[Signature]:
    if row.guardian_id:
        return sign_for_child(row, said.relations[row.pk], signing, by=by)
    _language, yes = affirmed(signing.waiver.language)
    act = Act(yes, METHOD, said.typed_name, signing.waiver.text)
    return [sign(row, signing.waiver, act, by=by, now=signing.now)]
