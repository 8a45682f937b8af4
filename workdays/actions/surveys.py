"""Write down a look at a stone, conclude from it, and put a person's word over the conclusion."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.jobs_of_days import TakenOff, take_blocked_off_days
from workdays.models import Conclusion, Job, Stone, Survey
from workdays.queries.ground import today_at
from workdays.queries.stone_facts import conclusion_facts, survey_facts
from workdays.rules import triage
from workdays.rules.looking import refusals_to_record
from workdays.rules.overriding import is_stricter, refusals_to_override

OWN_WORD = "a person's word, written down here"


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
        today=today_at(stone.cemetery, now=now),
    )
    if refusals:
        raise Refused(refusals)
    concluded = triage.conclusion(facts)
    assert concluded is not None  # noqa: S101  # only no survey gives none
    newest = not stone.surveys.filter(on__gt=survey.on).exists()
    survey.save()
    row = _store(stone, concluded, survey=survey)
    in_force = newest and not _person_was_stricter(stone, concluded)
    audit.record(
        audit.by_login(by), "surveyed", stone, _survey_detail(survey, row, in_force=in_force)
    )
    if not in_force:
        return Recorded(survey, row, in_force=False, taken_off=[])
    return Recorded(survey, row, in_force=True, taken_off=_put_in_force(row, by=by, now=now))


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
    row = _store(stone, word, overridden_by=by, override_reason=reason)
    detail = {"from": stone.conclusion_id, "to": row.pk, "kind": kind, "needs": row.needs}
    audit.record(audit.by_login(by), "overruled", stone, detail | {"why": reason})
    return _put_in_force(row, by=by, now=now)


def _locked(stone: Stone) -> Stone:
    return (
        Stone.objects.select_for_update(of=("self",))
        .select_related("cemetery", "conclusion")
        .get(pk=stone.pk)
    )


def _store(stone: Stone, concluded: triage.Conclusion, **extra: Any) -> Conclusion:
    return Conclusion.objects.create(
        stone=stone,
        kind=concluded.kind.value,
        needs=sorted(need.value for need in concluded.needs),
        look_again_on=concluded.look_again_on,
        reasons=triage.as_rows(concluded.reasons),
        **extra,
    )


def _put_in_force(row: Conclusion, *, by: Person, now: datetime) -> list[TakenOff]:
    stone = row.stone
    stone.conclusion = row
    stone.save(update_fields=["conclusion"])
    return take_blocked_off_days(Job.objects.filter(stone=stone), by=by, now=now)


def _person_was_stricter(stone: Stone, concluded: triage.Conclusion) -> bool:
    """Whether a person's word in force allows less than the rules would after a new look."""
    row = stone.conclusion
    if row is None or not row.overridden_by_id:
        return False
    return is_stricter(conclusion_facts(row), concluded)


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
    own = [triage.Reason(reason, OWN_WORD)] if reason else []
    until = before.look_again_on if before else None
    if triage.Need.LOOK_AGAIN in said:
        yesterday = today_at(stone.cemetery, now=now) - timedelta(days=1)
        until = min(until or yesterday, yesterday)
    return triage.Conclusion(
        kind=kind_said,
        needs=said if kind_said is triage.Kind.NEEDS else frozenset(),
        look_again_on=until,
        reasons=(*own, *kept),
    )


def _survey_detail(survey: Survey, row: Conclusion, *, in_force: bool) -> dict[str, Any]:
    return {
        "survey": survey.pk,
        "on": survey.on.isoformat(),
        "kind": row.kind,
        "needs": row.needs,
        "in_force": in_force,
    }
