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
from workdays.rules.wall_clock import day_words

OWN_WORD = "a person's word, written down on"


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
    newest = not stone.surveys.filter(on__gt=survey.on).exists()
    survey.save()
    row = _store(stone, _by_rules(survey), survey=survey)
    word = _stricter_word(stone, row)
    in_force = newest and word is None
    audit.record(
        audit.by_login(by), "surveyed", stone, _survey_detail(survey, row, in_force=in_force)
    )
    if not newest:
        return Recorded(survey, row, in_force=False, taken_off=[])
    holds = _laid_over(row, word) if word else row
    return Recorded(survey, row, in_force, taken_off=_put_in_force(holds, by=by, now=now))


def conclude_anew(before: Stone, stone: Stone, *, by: Person, now: datetime) -> list[TakenOff]:
    """Conclude from the last survey once more, after the stone itself was noted otherwise.

    ``before`` is the stone as it was noted. Where the rules conclude the same, what a person said
    of it stays in force. Called inside the transaction of the change.
    """
    survey = stone.surveys.first()
    if survey is None:
        return []
    survey.stone = before
    concluded_before = _by_rules(survey)
    survey.stone = stone
    concluded = _by_rules(survey)
    if concluded == concluded_before:
        return []
    row = _store(stone, concluded, survey=survey)
    word = _stricter_word(stone, row)
    detail = _survey_detail(survey, row, in_force=word is None)
    audit.record(audit.by_login(by), "concluded anew", stone, detail)
    return _put_in_force(_laid_over(row, word) if word else row, by=by, now=now)


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


def _by_rules(survey: Survey) -> triage.Conclusion:
    concluded = triage.conclusion(survey_facts(survey))
    assert concluded is not None  # noqa: S101  # only no survey gives none
    return concluded


def _stricter_word(stone: Stone, row: Conclusion) -> Conclusion | None:
    """Return the last word of a person, where the rules now allow as much or more than it.

    It stays in force until a person says otherwise; a word that a stone needs this or that
    yields to a new look. A worse look is above the word, which holds again after a milder one.
    """
    word = stone.conclusions.filter(overridden_by__isnull=False, survey__isnull=True).first()
    if word is None or word.kind == Conclusion.Kind.NEEDS:
        return None
    is_worse = is_stricter(conclusion_facts(row), conclusion_facts(word))
    return None if is_worse else word


def _laid_over(row: Conclusion, word: Conclusion) -> Conclusion:
    """Store a person's word with what a new look found: its bars, cordons and date count too."""
    own = [one for one in word.reasons if str(one.get("source", "")).startswith(OWN_WORD)]
    return Conclusion.objects.create(
        stone=row.stone,
        survey=row.survey,
        kind=word.kind,
        needs=word.needs,
        look_again_on=row.look_again_on,
        reasons=[*own, *row.reasons],
        overridden_by=word.overridden_by,
        override_reason=word.override_reason,
    )


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


def _survey_detail(survey: Survey, row: Conclusion, *, in_force: bool) -> dict[str, Any]:
    return {
        "survey": survey.pk,
        "on": survey.on.isoformat(),
        "kind": row.kind,
        "needs": row.needs,
        "in_force": in_force,
    }
