"""How the personal fields of each model go when somebody is erased.

A guard test fails on a model with personal fields that is in none of the lists below. Which fields
of a row go at once follows from their class of keeping; ``KEPT`` rows go by the clock.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db.models import Model, Q

from coordinator.models import Person, SentMessage, User, new_secret
from coordinator.personal import Keep
from training.models import Countersign, Revocation, SignOff
from workdays.blanking import OVER, blank_values, waits_in_vain
from workdays.models import (
    Booking,
    Cemetery,
    CrewPlan,
    DayMessage,
    FamilyLeave,
    Host,
    Invitation,
    Invite,
    Kept,
    OpeningMail,
    Party,
    Permission,
    Photograph,
    PlanRun,
    RecordedFact,
    SheetImport,
    Signature,
    SignUp,
)
from workdays.rules.erasing import ERASED_GROUP, ERASED_NAME, without, words_to_look_for

AT_ONCE = (Keep.UNTIL_ERASED, Keep.AFTER_THE_DAY, Keep.WITH_THE_MESSAGE)
BLANKED: tuple[type[Model], ...] = (Person, SignUp, Party, SentMessage, Invite, Invitation)
DELETED: tuple[type[Model], ...] = (User,)
SEARCHED: tuple[type[Model], ...] = (CrewPlan, PlanRun, DayMessage)
KEPT: tuple[type[Model], ...] = (Kept, Signature, Countersign, SignOff, Revocation)
# Of owners, hosts, families and informants, who ask the organiser; pictures are of stones.
OF_OTHERS: tuple[type[Model], ...] = (
    *(Cemetery, Permission, Host, Booking, FamilyLeave, Photograph, RecordedFact, SheetImport),
)
State = SentMessage.State


def blanks_at_once(model: type[Model]) -> dict[str, object]:
    """Return the fields of a model that go when a person does, and what stays instead."""
    return {name: value for keep in AT_ONCE for name, value in blank_values(model, keep).items()}


def blank_everything(people: Sequence[Person], *, kept: set[int], now: datetime) -> None:
    """Blank what is stored of people, but for what ``KEPT`` holds; inside the action's hold.

    ``kept``: of whom a name is kept; a birth date stays with it, for it decides until when.
    """
    mailboxes = {box for p in people if p.email for box in (p.email, p.email.lower())}
    shared = Person.objects.filter(email__in=mailboxes).exclude(pk__in=[p.pk for p in people])
    alone = mailboxes - set(shared.values_list("email", flat=True))
    _search_words_of_others(people)
    _stop_and_blank_mail(people, alone)
    SignUp.objects.filter(person__in=people).update(
        **blanks_at_once(SignUp),
        **dict.fromkeys(("cannot_lift", "cannot_kneel", "cannot_stand_long"), False),
    )
    led = Party.objects.filter(leader__in=people)
    led.update(**blanks_at_once(Party) | {"name": ERASED_GROUP, "leader": None})
    for invite in Invite.objects.filter(mailbox__in=alone):
        Invite.objects.filter(pk=invite.pk).update(mailbox=f"erased-{invite.pk}")
    _end_invitations(people, alone, now)
    OpeningMail.objects.filter(person__in=people, ended_at__isnull=True).update(ended_at=now)
    _blank_people(people, kept, now)


def _blank_people(people: Sequence[Person], kept: set[int], now: datetime) -> None:
    users = [person.user_id for person in people if person.user_id]
    for person in people:
        values = blanks_at_once(Person) | {
            "name": ERASED_NAME,
            "secret": new_secret(),
            "user": None,
            "erased_at": now,
        }
        if person.pk not in kept:
            values["born_on"] = None
        Person.objects.filter(pk=person.pk).update(**values)
    User.objects.filter(pk__in=users).delete()


def _stop_and_blank_mail(people: Sequence[Person], alone: set[str]) -> None:
    """Stop what waits and blank what is over; a calendar's CANCEL still goes, and then goes blank.

    ``alone``: mailboxes that nobody else has.
    """
    to_nobody_else = Q(person__isnull=True, to_address__in=alone)
    mine = SentMessage.objects.filter(Q(person__in=people) | to_nobody_else)
    numbers = list(mine.values_list("pk", flat=True))
    SentMessage.objects.filter(pk__in=numbers, person__isnull=True).update(person=people[0])
    theirs = SentMessage.objects.filter(pk__in=numbers)
    theirs.filter(waits_in_vain()).update(state=State.FAILED)
    theirs.filter(state__in=OVER).update(**blanks_at_once(SentMessage))


def _search_words_of_others(people: Sequence[Person]) -> None:
    """Take people out of what was written to others, and out of why a plan left somebody out.

    The programme's own number stands under every mail: who gave it as theirs is not meant there.
    """
    numbers = [value for p in people for value in (p.email, p.telephone)]
    numbers = [value for value in numbers if value != settings.PROGRAMME_TELEPHONE]
    words = words_to_look_for([person.name for person in people], numbers)
    _search_mail_of_others(people, words)
    _search_words_on_days(people, words)


def _search_mail_of_others(people: Sequence[Person], words: Sequence[str]) -> None:
    for word in words:
        held = Q(text__contains=word) | Q(html__contains=word) | Q(subject__contains=word)
        found = SentMessage.objects.filter(held).exclude(person__in=people)
        # A calendar entry names people inside; whoever shares the mailbox has a newer one queued.
        entries = found.filter(thread__startswith="invite:").exclude(state__in=OVER)
        entries.update(state=State.FAILED)
        found.filter(state__in=OVER).update(**blanks_at_once(SentMessage))
        for row in found:
            row.subject, row.text = without(row.subject, words), without(row.text, words)
            row.html = without(row.html, words)
            row.save(update_fields=["subject", "text", "html"])


def _search_words_on_days(people: Sequence[Person], words: Sequence[str]) -> None:
    days = SignUp.objects.filter(person__in=people).values("day")
    for plan in CrewPlan.objects.filter(day__in=days).exclude(left_out={}, difference=[]):
        plan.left_out = _without(plan.left_out, words)
        plan.difference = _without(plan.difference, words)
        plan.save(update_fields=["left_out", "difference"])
    for run in PlanRun.objects.filter(day__in=days).exclude(words="", clash=[]):
        run.words = without(run.words, words)[:500]
        run.clash = _without(run.clash, words)
        run.save(update_fields=["words", "clash"])
    for one in DayMessage.objects.filter(day__in=days):
        one.subject = without(one.subject, words)[:120]
        one.text = without(one.text, words)
        one.save(update_fields=["subject", "text"])


def _without(kept: Any, words: Sequence[str]) -> Any:
    """Return words kept in lists or by key without any of these."""
    return json.loads(without(json.dumps(kept, ensure_ascii=False), words))


def _end_invitations(people: Sequence[Person], alone: set[str], now: datetime) -> None:
    mine = Invitation.objects.filter(Q(accepted_by__in=people) | Q(email__in=alone))
    mine.filter(accepted_at__isnull=True, taken_back_at__isnull=True).update(taken_back_at=now)
    mine.update(**blanks_at_once(Invitation))
