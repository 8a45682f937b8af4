"""Show pairs of pictures to the public, or take them away again."""

from datetime import date, datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import change
from workdays.models import Cemetery, Photograph
from workdays.queries.gallery import facts_of, pairs
from workdays.queries.ground import today_at
from workdays.rules.gallery import refusals_to_allow, refusals_to_show
from workdays.rules.refusals import Refusal


@transaction.atomic
def allow_gallery(
    cemetery: Cemetery, on: date | None, words: str, *, by: Person, now: datetime
) -> None:
    """Note the owner's leave to show pictures of a cemetery; both empty ends it at once."""
    row = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
    refusals = refusals_to_allow(on, words, today=today_at(row, now=now))
    if refusals:
        raise Refused(refusals)
    changed = change(row, {"gallery_on": on, "gallery_words": words.strip()})
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


@transaction.atomic
def show_pair(after: Photograph, *, shown: bool, by: Person, now: datetime) -> None:
    """Show a pair to the public or no longer; raises Refused where it may not be shown."""
    Photograph.objects.select_for_update().get(pk=after.pk)
    row = pairs().filter(pk=after.pk).first()
    if row is None:
        raise Refused([Refusal("no-pair", "Only a pair, before and after work, is shown.")])
    refusals = refusals_to_show(facts_of(row), today=today_at(row.cemetery, now=now))
    if shown and refusals:
        raise Refused(refusals)
    if row.in_gallery != shown:
        Photograph.objects.filter(pk=row.pk).update(in_gallery=shown)
        audit.record(audit.by_login(by), "showed" if shown else "hid", row, {"stone": row.stone_id})
