"""The usual cautions of every lift, each with its source."""

from __future__ import annotations

from dataclasses import dataclass

from workdays.rules.published import COMMON_PRACTICE, Source

OSHA = "Occupational Safety and Health Administration, 29 CFR 1926.1425 and digests of 1926.251"
L23_120 = "Health and Safety Executive (UK), L23, para 120"
CALLS = f"a rail body's safety page on lifting in teams; {L23_120}"
SAFETY = Source("National Park Service", "Cemetery Preservation Course: Safety", None)

ONE_PERSON_CAUTION = (
    "A warning only, never leave to lift: it is for one person, two hands and a steady load."
)


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence and where it is from."""

    sentence: str
    source: str


CAUTIONS: tuple[Line, ...] = (
    Line("One person plans and calls each lift; everybody may say stop.", CALLS),
    Line(
        "Keep out of the fall zone, at least one and a half times the stone's height; only who "
        "receives the load stands in it.",
        f"{OSHA}; the radius: {COMMON_PRACTICE.words}",
    ),
    Line("Nobody under a load, no hand on a hanging stone: use a tag line.", OSHA),
    Line(
        "A competent person checks every sling before work: label readable, no knots, more than "
        "45 degrees to the level. Fabric and padding, no metal on stone.",
        OSHA,
    ),
    Line("Sturdy boots and gloves; nobody lifts alone.", SAFETY.words),
    Line(
        "On a slope or steps those at the lower end bear most of the weight: fewer kilograms "
        "than said here.",
        L23_120,
    ),
    Line(
        "Local law, the owner's rules and licensed professionals decide. In doubt do not lift.",
        "",
    ),
)
