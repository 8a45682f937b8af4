"""Write down a look at a stone, conclude from it, and put a person's word over the conclusion."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.concluding import (
    OWN_WORD,
    anew,
    as_row,
    conclude,
    take_stones_off,
)
from workdays.actions.jobs_of_days import TakenOff
from workdays.models import Conclusion, Stone, Survey
from workdays.queries.ground import today_at
from workdays.queries.stone_facts import conclusion_facts, survey_facts
from workdays.rules import triage
from workdays.rules.looking import refusals_to_record
from workdays.rules.overriding import refusals_to_override
from workdays.rules.wall_clock import day_words

# What triage reads of the stone itself: a change of it is concluded from anew.
READ_BY_TRIAGE = frozenset({"type", "height_cm", "material"})


@dataclass(frozen=True)
class Recorded:
    """What a survey led to.

    ``in_force`` says whether its conclusion holds: a newer survey, or a person's stricter word,
    stays above it. ``taken_off`` lists the jobs that left days to come.
    """

    survey: Survey
    conclusion: Conclusion
    in_force: bool
    taken_off: list[TakenOff]


@transaction.atomic
def record_survey(
    stone: Stone, values: Mapping[str, Any], *, by: Person, now: datetime
) -> Recorded:
    """Keep a look at a stone, conclude from it by the rules, take blocked jobs off coming days."""
    stone = _locked(stone)
    survey = Survey(stone=stone, by=by, **values)
    facts = survey_facts(survey)
    refusals = refusals_to_record(
        facts,
        pieces=survey.pieces,
        stone_height_cm=stone.height_cm,
        depth_sunk_cm=survey.depth_sunk_cm,
        today=today_at(stone.cemetery, now=now),
    )
    if refusals:
        raise Refused(refusals)
    survey.save()
    [found], gone = conclude([survey], verb="surveyed", by=by, now=now)
    return Recorded(survey, found.row, found.in_force, taken_off=gone)


def conclude_anew(before: Stone, stone: Stone, *, by: Person, now: datetime) -> list[TakenOff]:
    """Conclude from the last survey once more, after the stone itself was noted otherwise.

    ``before`` is the stone as it was noted. Where the rules conclude the same, what a person said
    of it stays in force. Called inside the transaction of the change.
    """
    return anew([(before, stone)], by=by, now=now)[1]


@transaction.atomic
def override_conclusion(
    stone: Stone,
    *,
    kind: str,
    needs: Sequence[str],
    reason: str,
    by: Person,
    now: datetime,
) -> list[TakenOff]:
    """Put a person's word over what triage concluded; return the jobs that left coming days.

    Bars on wet work and cordons of the survey stay: only a new look at the stone lifts them.
    """
    stone = _locked(stone)
    before = conclusion_facts(stone.conclusion)
    word = _word(before, kind, needs, reason, stone=stone, now=now)
    refusals = refusals_to_override(word, before, reason)
    if refusals:
        raise Refused(refusals)
    row = as_row(stone, word, overridden_by=by, override_reason=reason)
    row.save()
    detail = {"from": stone.conclusion_id, "to": row.pk, "kind": kind, "needs": row.needs}
    audit.record(audit.by_login(by), "overruled", stone, detail | {"why": reason})
    return _put_in_force(row, by=by, now=now)


def _locked(stone: Stone) -> Stone:
    """Return the row, locked; its conclusion is read afterwards: a join may be from before."""
    rows = Stone.objects.select_for_update(of=("self",)).select_related("cemetery")
    return rows.get(pk=stone.pk)


def _put_in_force(row: Conclusion, *, by: Person, now: datetime) -> list[TakenOff]:
    stone = row.stone
    stone.conclusion = row
    stone.save(update_fields=["conclusion"])
    return take_stones_off([stone.pk], by=by, now=now)


def _word(
    before: triage.Conclusion | None,
    kind: str,
    needs: Sequence[str],
    reason: str,
    *,
    stone: Stone,
    now: datetime,
) -> triage.Conclusion:
    kind_said = triage.Kind(kind)
    said = frozenset(triage.Need(need) for need in needs)
    kept = [r for r in before.reasons if r.bars_wet or r.cordon] if before else []
    today = today_at(stone.cemetery, now=now)
    source = f"{OWN_WORD} {day_words(today)} {today.year}"
    own = triage.Reason(reason or "No reason was written down.", source)
    until = before.look_again_on if before else None
    if triage.Need.LOOK_AGAIN in said:
        yesterday = today - timedelta(days=1)
        until = min(until or yesterday, yesterday)
    return triage.Conclusion(
        kind=kind_said,
        needs=said if kind_said is triage.Kind.NEEDS else frozenset(),
        look_again_on=until,
        reasons=(own, *kept),
    )
