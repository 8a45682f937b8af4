"""Who may countersign hours and give sign-offs, and what they may say."""

from __future__ import annotations

from dataclasses import dataclass

from training.rules.standing import Level, hours_and_minutes

CONFIRMED, CORRECTED, REFUSED = "confirmed", "corrected", "refused"


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something was not done: a code for programs, a sentence for people."""

    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Word:
    """A supervisor's word on an hours entry: the decision, the minutes that count, and why."""

    decision: str
    minutes: int
    stones: int = 0
    why: str = ""


def refusals_to_countersign(
    word: Word, *, proposed: int, level: Level, own: bool, skill: str, stones: int | None = None
) -> list[Refusal]:
    """Return why this word may not be given; `own`: the hours are the signer's own.

    `proposed` minutes, `stones` as the day counted them; None: not compared.
    """
    found = _about_judge(level, own=own, skill=skill, act="countersign hours")
    if word.minutes > proposed:
        most = hours_and_minutes(proposed)
        found.append(Refusal("minutes", f"The day gives at most {most}; correct downwards only."))
    if word.decision == CONFIRMED and word.minutes != proposed:
        found.append(Refusal("minutes", "Confirmed means as proposed; choose “corrected”."))
    if word.decision == CONFIRMED and stones is not None and word.stones != stones:
        found.append(Refusal("stones", "Confirmed means as proposed; choose “corrected”."))
    if word.decision == REFUSED and word.minutes:
        found.append(Refusal("minutes", "Refused hours count no minutes."))
    if word.decision in {CORRECTED, REFUSED} and not word.why.strip():
        found.append(Refusal("why", "Say in a few words why, for the trainee to read."))
    return found


def refusals_to_sign_off(level: Level, *, own: bool, skill: str) -> list[Refusal]:
    """Return why somebody of this level may not give a sign-off in a skill."""
    return _about_judge(level, own=own, skill=skill, act="sign people off")


def _about_judge(level: Level, *, own: bool, skill: str, act: str) -> list[Refusal]:
    found = []
    if level is not Level.SUPERVISOR:
        found.append(Refusal("level", f"Only a supervisor of {skill} there may {act}."))
    if own:
        found.append(Refusal("own", "Nobody may do this for themselves."))
    return found
