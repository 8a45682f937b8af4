"""Who did not come to earlier days, and how what people signed stands on a day."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Count, Exists, Max, OuterRef
from django.db.models.functions import Coalesce

from coordinator.humans import humans
from workdays.models import RollEntry, Signature, SignUp, Waiver, Workday
from workdays.queries.days import local_date
from workdays.queries.waivers import people_with_waiver
from workdays.rules.parties import age_on
from workdays.rules.turnout import Signed, missed_words, waiver_words


def missed(day: Workday, people: Iterable[int]) -> dict[int, str]:
    """Return, for those who missed any, how many earlier days and the last; two statements.

    A day is missed that somebody was coming to, that is closed, and whose roll does not hold them.
    """
    asked = humans(people)
    human = Coalesce("person__joined_into", "person")
    came = RollEntry.objects.alias(human=human).filter(day=OuterRef("day"), human=OuterRef("human"))
    rows = SignUp.objects.annotate(human=human).filter(
        ~Exists(came),
        person__in=asked.every,
        state=SignUp.State.COMING,
        day__state=Workday.State.CLOSED,
        day__starts_at__lt=day.starts_at,
    )
    counts = (
        rows.order_by()
        .values_list("human")
        .annotate(Count("day", distinct=True), Max("day__starts_at"))
    )
    zone = day.cemetery.zone
    return {
        person: missed_words(many, last.astimezone(zone).date())
        for kept, many, last in counts
        for person in asked.whose(kept)
    }


def waivers_in_words(day: Workday, people: Iterable[int]) -> dict[int, str]:
    """Return how the waiver of each stands on the day: "signed", "missing", "ran out" ..."""
    ids = list(people)
    valid, asked = people_with_waiver(day, ids), humans(ids)
    signed: dict[int, list[Signed]] = {pk: [] for pk in ids}
    rows = Signature.objects.filter(person__in=asked.every).exclude(role=Signature.Role.MINOR)
    rows = rows.select_related("waiver", "person").defer("text", "waiver__text")
    for row in rows.order_by("-signed_at", "-pk"):
        for person in asked.whose(row.person_id):
            signed[person].append(_signed(row, day))
    return {pk: waiver_words(rows, valid=pk in valid) for pk, rows in signed.items()}


def _signed(row: Signature, day: Workday) -> Signed:
    ends, on = row.valid_until, local_date(day)
    return Signed(
        paper=bool(row.paper),
        withdrawn=row.withdrawn_at is not None,
        confirmed=row.confirmed_at is not None,
        ran_out=ends is not None and ends < on,
        other_day=row.waiver.validity == Waiver.Validity.DAY and ends != on,
        outgrown=_outgrown(row, on, day.cemetery.adult_age),
    )


def _outgrown(row: Signature, on: date, adult_age: int) -> bool:
    born_on = row.person.born_on
    by_guardian = row.role == Signature.Role.GUARDIAN
    return by_guardian and born_on is not None and age_on(born_on, on) >= adult_age
