"""Conclude from looks at stones, one or thousands at once, and put in force what holds.

The one door: a look written down on a page and ten thousand from a sheet go through it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import Max, OuterRef, Subquery

from coordinator import audit
from coordinator.models import Person
from workdays.actions.jobs_of_days import TakenOff, take_blocked_off_days
from workdays.models import Conclusion, Job, Stone, Survey, Workday
from workdays.queries.stone_facts import conclusion_facts, survey_facts
from workdays.rules import triage
from workdays.rules.overriding import is_stricter

OWN_WORD = "a person's word, written down on"
ROWS_AT_ONCE = 500
MOST_IDS = 2_000
Thing = TypeVar("Thing")


@dataclass(frozen=True)
class Concluded:
    """What one look led to: ``row`` by the rules, ``holds`` what is in force from now on.

    ``holds`` is None where a newer look stays above it; it is not ``row`` where a person's word
    was laid over it.
    """

    survey: Survey
    row: Conclusion
    holds: Conclusion | None

    @property
    def in_force(self) -> bool:
        """Return whether the rules' conclusion itself holds."""
        return self.holds is self.row

    @property
    def made(self) -> list[Conclusion]:
        """Return the rows that were stored."""
        return [self.row] if self.holds in (None, self.row) else [self.row, self.holds]


def by_rules(survey: Survey) -> triage.Conclusion:
    """Return what the rules conclude from a look."""
    concluded = triage.conclusion(survey_facts(survey))
    assert concluded is not None  # noqa: S101  # only no survey gives none
    return concluded


@transaction.atomic
def conclude(
    surveys: Sequence[Survey], *, verb: str, by: Person | None, now: datetime
) -> tuple[list[Concluded], list[TakenOff]]:
    """Store what the rules conclude from stored looks, each at another stone, and put it in force.

    Where a person's word allows less it is laid over. What now holds takes jobs that it does not
    allow off coming days in the same breath: nobody can conclude and forget to. ``verb`` is what
    the audit says of each stone; "" where the caller tells of all of them in one entry.
    """
    found = [
        one for some in chunks(surveys, ROWS_AT_ONCE) for one in _conclude(some, verb=verb, by=by)
    ]
    held = [one.row.stone_id for one in found if one.holds is not None]
    return found, take_stones_off(held, by=by, now=now)


def anew(
    changed: Sequence[tuple[Stone, Stone]], *, by: Person | None, now: datetime
) -> tuple[list[Concluded], list[TakenOff]]:
    """Conclude from the last looks once more where stones, before and after, were noted otherwise.

    Only where the rules now conclude something else; jobs leave coming days as by ``conclude``.
    """
    last = {
        survey.stone_id: survey
        for some in chunks(changed, ROWS_AT_ONCE)
        for survey in _last_surveys([stone.pk for _, stone in some])
    }
    seen = [(before, stone, last[stone.pk]) for before, stone in changed if stone.pk in last]
    differing = [survey for before, stone, survey in seen if _differ(survey, before, stone)]
    return conclude(differing, verb="concluded anew", by=by, now=now)


def _last_surveys(stones: Sequence[int]) -> Iterable[Survey]:
    newest = Survey.objects.filter(stone=OuterRef("stone")).order_by("-on", "-pk").values("pk")[:1]
    return Survey.objects.filter(stone__in=stones, pk=Subquery(newest))


def _differ(survey: Survey, before: Stone, stone: Stone) -> bool:
    """Whether the rules conclude something else of the stone as it is; the look is tied to it."""
    survey.stone = before
    concluded_before = by_rules(survey)
    survey.stone = stone
    return by_rules(survey) != concluded_before


def take_stones_off(stones: Sequence[int], *, by: Person | None, now: datetime) -> list[TakenOff]:
    """Take the jobs at stones off coming days on which they may no longer be done.

    However many stones there are, a day is gone through once, and told of in one mail.
    """
    meant = Job.objects.filter(days__state__in=Workday.COMING, days__ends_at__gt=now)
    touched = {
        pk
        for some in chunks(stones, MOST_IDS)
        for pk in meant.filter(stone__in=some).values_list("stone", flat=True)
    }
    if not touched:
        return []
    return take_blocked_off_days(Job.objects.filter(stone__in=touched), by=by, now=now)


def _conclude(surveys: Sequence[Survey], *, verb: str, by: Person | None) -> list[Concluded]:
    stones = [survey.stone_id for survey in surveys]
    words, newest = _words(stones), _newest(stones)
    rows = Conclusion.objects.bulk_create([_row(survey) for survey in surveys])
    over = {
        row.stone_id: _laid_over(row, words[row.stone_id])
        for row in rows
        if row.stone_id in words and _is_stricter_word(words[row.stone_id], row)
    }
    pairs = list(zip(surveys, rows, strict=True))
    holds = {row.stone_id: row for survey, row in pairs if newest[row.stone_id] <= survey.on}
    laid = Conclusion.objects.bulk_create([over[pk] for pk in holds if pk in over])
    holds |= {row.stone_id: row for row in laid}
    found = [Concluded(survey, row, holds.get(row.stone_id)) for survey, row in pairs]
    _put_in_force(found)
    if verb:
        told = [(one.row.stone, _detail(one, overruled=one.row.stone_id in over)) for one in found]
        audit.record_many(audit.by_person(by), verb, told)
    return found


def _put_in_force(found: Sequence[Concluded]) -> None:
    """Point each stone to what holds: the newest row, as the rows were stored in this order."""
    held = [one.holds for one in found if one.holds is not None]
    newest = Conclusion.objects.filter(stone=OuterRef("pk")).order_by("-pk").values("pk")[:1]
    stones = Stone.objects.filter(pk__in=[row.stone_id for row in held])
    stones.order_by().update(conclusion=Subquery(newest))
    for row in held:
        row.stone.conclusion = row


def _row(survey: Survey) -> Conclusion:
    return as_row(survey.stone, by_rules(survey), survey=survey)


def as_row(stone: Stone, concluded: triage.Conclusion, **extra: Any) -> Conclusion:
    """Return a conclusion as a row that is not stored yet."""
    return Conclusion(
        stone=stone,
        kind=concluded.kind.value,
        needs=sorted(need.value for need in concluded.needs),
        look_again_on=concluded.look_again_on,
        reasons=triage.as_rows(concluded.reasons),
        **extra,
    )


def _words(stones: Sequence[int]) -> dict[int, Conclusion]:
    """Return the last word of a person on each stone, where there is one."""
    rows = Conclusion.objects.filter(
        stone__in=stones, overridden_by__isnull=False, survey__isnull=True
    )
    return {row.stone_id: row for row in rows.order_by("made_at", "pk")}


def _newest(stones: Sequence[int]) -> dict[int, date]:
    rows = Survey.objects.filter(stone__in=stones).order_by().values_list("stone")
    return dict(rows.annotate(newest=Max("on")))


def _is_stricter_word(word: Conclusion, row: Conclusion) -> bool:
    """Whether the rules now allow as much as a person's last word, or more.

    It stays in force until a person says otherwise; a word that a stone needs this or that
    yields to a new look. A worse look is above the word, which holds again after a milder one.
    """
    if word.kind == Conclusion.Kind.NEEDS:
        return False
    return not is_stricter(conclusion_facts(row), conclusion_facts(word))


def _laid_over(row: Conclusion, word: Conclusion) -> Conclusion:
    """Return a person's word with what a new look found: its bars, cordons and date count too."""
    own = [one for one in word.reasons if str(one.get("source", "")).startswith(OWN_WORD)]
    return Conclusion(
        stone=row.stone,
        survey=row.survey,
        kind=word.kind,
        needs=word.needs,
        look_again_on=row.look_again_on,
        reasons=[*own, *row.reasons],
        overridden_by=word.overridden_by,
        override_reason=word.override_reason,
    )


def _detail(one: Concluded, *, overruled: bool) -> dict[str, Any]:
    return {
        "survey": one.survey.pk,
        "on": one.survey.on.isoformat(),
        "kind": one.row.kind,
        "needs": one.row.needs,
        "in_force": one.holds is not None and not overruled,
    }


def chunks(things: Sequence[Thing], size: int) -> Iterator[Sequence[Thing]]:
    """Give the things so many at a time."""
    for start in range(0, len(things), size):
        yield things[start : start + size]
