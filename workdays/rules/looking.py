"""Judge what somebody wrote down at a stone before triage concludes from it."""

from datetime import date

from workdays.rules.refusals import Refusal
from workdays.rules.triage import Sign, SurveyFacts

FIRST_YEAR = 1980


def refusals_to_record(
    survey: SurveyFacts,
    *,
    pieces: int | None,
    stone_height_cm: int | None,
    today: date,
    depth_sunk_cm: int | None = None,
) -> list[Refusal]:
    """Return why a survey contradicts itself, the stone or the calendar; empty: it does not."""
    return [
        *_wrong_day(survey.on, today),
        *_uncounted(survey, pieces),
        *_too_high(survey.height_above_cm, stone_height_cm),
        *_too_deep(depth_sunk_cm, stone_height_cm),
    ]


def _wrong_day(on: date, today: date) -> list[Refusal]:
    if on > today:
        return [Refusal("future", "A survey is written down after the look: this day is to come.")]
    if on.year < FIRST_YEAR:
        return [Refusal("too-old", f"Give a day from {FIRST_YEAR} on.")]
    return []


def _uncounted(survey: SurveyFacts, pieces: int | None) -> list[Refusal]:
    broken = {Sign.BROKEN_THROUGH, Sign.LOOSE_PIECES} & survey.signs
    if pieces is None or pieces < 2 or broken:
        return []
    sentence = f"{pieces} pieces: tick “broken through” or “pieces loose or missing” as well."
    return [Refusal("pieces", sentence)]


def _too_high(above_cm: int | None, noted_cm: int | None) -> list[Refusal]:
    """More than twice the noted height is a slip of the finger; less may be a better measure."""
    if above_cm is None or noted_cm is None or above_cm <= 2 * noted_cm:
        return []
    sentence = (
        f"{above_cm} cm above ground, but the stone is noted as {noted_cm} cm high: measure again."
    )
    return [Refusal("too-high", sentence)]


def _too_deep(sunk_cm: int | None, noted_cm: int | None) -> list[Refusal]:
    """As with the height above ground: the noted height may be of what could be seen only."""
    if sunk_cm is None or noted_cm is None or sunk_cm <= 2 * noted_cm:
        return []
    sentence = f"Sunk {sunk_cm} cm, but the stone is noted as {noted_cm} cm high: measure again."
    return [Refusal("too-deep", sentence)]
