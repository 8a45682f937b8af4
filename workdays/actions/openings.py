"""Ask for mails that a day has opened, and end them: by the own page, or by a mail's one press."""

from collections.abc import Collection
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from workdays.models import Cemetery, OpeningMail
from workdays.queries.openings import wanted_by


@transaction.atomic
def choose_mails(person: Person, places: Collection[Cemetery], *, now: datetime) -> None:
    """Keep for which cemeteries a person wants to be told of days, with the moment of each word."""
    Person.objects.select_for_update().get(pk=person.pk)
    numbers = {place.pk for place in places}
    live = {wish.cemetery_id: wish for wish in wanted_by(person)}
    for number in sorted(numbers - live.keys()):
        wish = OpeningMail.objects.create(person=person, cemetery_id=number, agreed_at=now)
        detail = {"cemetery": number}
        audit.record(audit.by_link(person), "asked for mails of new days", wish, detail)
    for number in sorted(live.keys() - numbers):
        _end(live[number], now)


@transaction.atomic
def end_mails(wish_id: int, *, now: datetime) -> OpeningMail:
    """End the mails of one cemetery to one person; said again it changes nothing."""
    wish = OpeningMail.objects.select_for_update().get(pk=wish_id)
    if wish.ended_at is None:
        _end(wish, now)
    return wish


def _end(wish: OpeningMail, now: datetime) -> None:
    wish.ended_at = now
    wish.save(update_fields=["ended_at"])
    detail = {"cemetery": wish.cemetery_id}
    audit.record(audit.by_link(wish.person), "ended mails of new days", wish, detail)
