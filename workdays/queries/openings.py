"""Mails that say that a day has opened: who wants them, and where one may want them."""

from django.db.models import QuerySet
from django.db.models.functions import Coalesce

from coordinator.models import Person
from workdays.models import Cemetery, OpeningMail, SignUp, Workday
from workdays.rules.eligibility import LIVE


def places_with_days() -> "QuerySet[Cemetery]":
    """Return cemeteries that the public knows of, because a day was open there."""
    opened = Workday.objects.exclude(state=Workday.State.DRAFT)
    return Cemetery.objects.filter(pk__in=opened.values("cemetery")).order_by("name", "pk")


def wanted_by(person: Person) -> "QuerySet[OpeningMail]":
    """Return for which cemeteries a person wants such mails now."""
    return OpeningMail.objects.filter(person=person, ended_at__isnull=True)


def wishes_for(day: Workday) -> "QuerySet[OpeningMail]":
    """Return whose wish a day meets: who can be mailed, and is not on the day already."""
    kept = Coalesce("person__joined_into", "person")
    on_it = SignUp.objects.filter(day=day, state__in=LIVE).values_list(kept, flat=True)
    wishes = OpeningMail.objects.filter(
        cemetery=day.cemetery_id,
        ended_at__isnull=True,
        person__erased_at__isnull=True,
        person__joined_into__isnull=True,
        person__confirmed_at__isnull=False,
    )
    wishes = wishes.exclude(person__email="").exclude(person__in=on_it)
    return wishes.select_related("person").order_by("pk")
