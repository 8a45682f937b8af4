"""The safety talk of a day: what a lead says before work begins, from what is planned that day.

Each line says what to do and where it was published, or that it was not. The talk never clears
anybody to do anything: its last line leaves that to local law, the owner and licensed people.
"""

from __future__ import annotations

from collections.abc import Iterable

from workdays.rules.counting import heads, joined
from workdays.rules.lift_cautions import CAUTIONS, SAFETY, Line
from workdays.rules.published import COMMON_PRACTICE, Source
from workdays.rules.talk_facts import Part, TalkFacts, TalkKind
from workdays.rules.talk_weather import weather_lines

PRACTICE = COMMON_PRACTICE.words
CHICORA = Source("Chicora Foundation", "General Guidelines for Cemetery Work", None)
TALL_CM = 180
MOST_NAMED = 6

FIRST: tuple[Line, ...] = (
    Line(
        "Say who carries the first aid kit, who rings for help and where the ambulance comes in.",
        SAFETY.words,
    ),
    Line("Nobody works alone; tell your lead before you leave the crew.", SAFETY.words),
    Line("Anybody may say stop, and then everybody stops.", PRACTICE),
    Line(
        "Treat every stone as fragile, also one that looks sound: never lean, sit or rest on it.",
        CHICORA.words,
    ),
    Line(
        "A stone gets worse at work, sounds hollow or sheds grains: stop at once, tell the lead.",
        CHICORA.words,
    ),
    Line(
        "Closed shoes and gloves. Look where you step and before you reach in: holes, toppled "
        "stones, insects, snakes, plants that burn.",
        f"{SAFETY.words}; list completed by {PRACTICE}",
    ),
)
LAST = Line(
    "Local law, the owner's rules and licensed professionals decide. In doubt stop and ask.", ""
)
MARKS = "state one-call rules: by hand only within 18 to 24 inches of a mark, the wider one"
REMAINS = (
    "states differ: coroner or medical examiner, police, state archaeologist (for example North "
    "Carolina GS 70-29, Missouri RSMo 194.406)"
)
GROUND = "a preservation body's tips, 2016; a restoration group's pages on tripod hoists"
DUST = "OSHA, 29 CFR 1926.1153 (from memory)"
NO_WORK = Line("No work is planned yet, so nothing is said of it here.", "")


def talk(facts: TalkFacts) -> list[Part]:
    """Return the parts of the talk in the order in which they are said."""
    kinds = facts.kinds
    parts = [
        Part("first", "For everybody", FIRST),
        Part("people", "Who is here", tuple(_people(facts))),
        Part("weather", "The weather today", tuple(weather_lines(facts))),
        *(_kind(number, kind) for number, kind in enumerate(kinds, 1)),
        Part("lifting", "Lifting", _lifting(facts)),
        Part("digging", "Digging", _digging(facts)),
        Part("mending", "Lime and epoxy", _mending(facts)),
        Part("tall", "Tall stones", _tall(facts)),
        Part("work", "The work", () if kinds else (NO_WORK,)),
        Part("last", "Last", (LAST,)),
    ]
    return [part for part in parts if part.lines]


def _people(facts: TalkFacts) -> Iterable[Line]:
    people = facts.people
    if people.minors:
        is_minor = "is" if people.minors == 1 else "are"
        only = joined(sorted(kind.name.lower() for kind in facts.kinds if kind.adults_only))
        not_at = f" None is at {only}." if only else ""
        yield Line(
            f"{heads(people.minors)} {is_minor} under age and stays with the guardian, in one "
            f"crew. None lifts or stands where anything is lifted.{not_at}",
            f"{PRACTICE}; state law on child labour decides",
        )
    if people.light:
        does = "does" if people.light == 1 else "do"
        yield Line(
            f"{heads(people.light)} {does} light work: ask them for no lift, and do not ask why.",
            PRACTICE,
        )
    for crew, languages in people.languages:
        yield Line(
            f"{crew}: somebody there has no English. The lead says all of this in "
            f"{joined(list(languages))}, and has it said back.",
            PRACTICE,
        )


def _kind(number: int, kind: TalkKind) -> Part:
    many = len(kind.crews) > MOST_NAMED
    crews = f"{len(kind.crews)} crews" if many else joined(list(kind.crews))
    lines = [Line(kind.caution, "caution of this programme")] if kind.caution else []
    if kind.wets and not kind.mends:
        lines.append(
            Line(
                "Splashes of cleaner: rinse skin at once, eyes for 15 minutes, then ring for help.",
                f"{PRACTICE}; the cleaner's label decides",
            )
        )
    return Part(f"kind-{number}", f"{kind.name} ({crews})" if crews else kind.name, tuple(lines))


def _lifting(facts: TalkFacts) -> tuple[Line, ...]:
    if not any(kind.lifts for kind in facts.kinds):
        return ()
    cautions = tuple(line for line in CAUTIONS if line.source)
    if not facts.hoist:
        return cautions
    return (
        *cautions,
        Line(
            "The hoist stands with all legs on firm, level ground; on a slope the load swings.",
            GROUND,
        ),
        Line(
            "One person at the stone, one at the chain, one who watches; only who was trained.",
            f"a restorer's account, 2017 (second hand); three: {PRACTICE}",
        ),
    )


def _digging(facts: TalkFacts) -> tuple[Line, ...]:
    if not any(kind.digs for kind in facts.kinds):
        return ()
    notice = f" Notice here: {facts.dig_notice} before." if facts.dig_notice else ""
    return (
        Line(
            "Dig only if the utility marks are there and hold today. Within 24 inches of a mark "
            f"by hand only; the owner's own lines are not marked: ask.{notice}",
            MARKS,
        ),
        Line("Topsoil only, never into the grave; trowels away from the stone.", PRACTICE),
        Line(
            "Bones or parts of a coffin: stop, step back, cover, take no picture. The supervisor "
            "rings the police or coroner; nobody goes on until they say so.",
            REMAINS,
        ),
    )


def _mending(facts: TalkFacts) -> tuple[Line, ...]:
    lines: list[Line] = []
    if any(kind.mixed for kind in facts.kinds):
        lines += [
            Line(
                "Lime burns skin and eyes: goggles, gloves, long sleeves; clean water beside the "
                "bucket. In an eye: rinse for 15 minutes and ring for an ambulance.",
                f"{PRACTICE}; the lime's label decides",
            ),
            Line("No dry cutting or grinding of stone: the dust harms lungs.", DUST),
        ]
    if facts.bonds:
        lines.append(
            Line(
                "Epoxy: the conservator mixes. Gloves, fresh air, none on skin; dry stone, mostly "
                "from 50 F (10 C) on.",
                f"{PRACTICE}; the epoxy's label decides",
            )
        )
    return tuple(lines)


def _tall(facts: TalkFacts) -> tuple[Line, ...]:
    if not facts.ladder_stones:
        return ()
    more = ["others"] if facts.ladder_stones[MOST_NAMED:] else []
    some = joined([*facts.ladder_stones[:MOST_NAMED], *more])
    return (
        Line(
            f"Higher than people reach: {some}. Work from the ground with brushes on poles. No "
            "ladder ever leans on a stone; a ladder stands by itself on firm ground, one holds it.",
            PRACTICE,
        ),
    )
