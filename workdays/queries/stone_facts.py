"""Rows of stones, surveys and kinds of work as the plain facts that the rules read."""

from workdays import models
from workdays.rules.kinds import KindFacts
from workdays.rules.triage import (
    Conclusion,
    Kind,
    Lean,
    Need,
    Sign,
    SurveyFacts,
    from_rows,
)


def kind_facts(kind: models.KindOfWork) -> KindFacts:
    """Return a kind of work as its flags."""
    return KindFacts(
        key=kind.key,
        name=kind.name,
        touches=kind.touches,
        lifts=kind.lifts,
        digs=kind.digs,
        wets=kind.wets,
        adults_only=kind.adults_only,
        needs_supervisor=kind.needs_supervisor,
        needs_conservator=kind.needs_conservator,
        mixed_batch=kind.mixed_batch,
    )


def conclusion_facts(row: models.Conclusion | None) -> Conclusion | None:
    """Return a stored conclusion as the rules know it; None when the stone was not seen."""
    if row is None:
        return None
    return Conclusion(
        kind=Kind(row.kind),
        needs=frozenset(Need(need) for need in row.needs),
        look_again_on=row.look_again_on,
        reasons=from_rows(row.reasons),
    )


def survey_facts(survey: models.Survey) -> SurveyFacts:
    """Return one look at a stone; a hollow sound is a sign, a way of leaning not given unknown.

    A height above ground that was not measured is at most the noted height of the stone.
    """
    signs = {Sign(sign) for sign in survey.signs}
    if survey.sound == models.Survey.Sound.HOLLOW:
        signs.add(Sign.HOLLOW)
    above = survey.stone.height_cm if survey.height_above_cm is None else survey.height_above_cm
    return SurveyFacts(
        on=survey.on,
        signs=frozenset(signs),
        stone_type=survey.stone.type,
        tapped=survey.sound != models.Survey.Sound.UNKNOWN,
        lean_degrees=survey.lean_degrees,
        lean=Lean(survey.lean_direction or Lean.UNKNOWN),
        height_above_cm=above,
        depth_sunk_cm=survey.depth_sunk_cm,
        material=survey.stone.material,
    )
