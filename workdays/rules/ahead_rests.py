"""What a look ahead rests on, said beside it: what was noted, and what is assumed."""

from workdays.rules.ahead import Forecast
from workdays.rules.ahead_chance import (
    FEW_TIMES,
    LOST_DAYS,
    expected_share,
    usual_share,
    whole_year,
)
from workdays.rules.ahead_facts import AheadFacts
from workdays.rules.counting import heads, some
from workdays.rules.facts import NEW

ASSUMED = "common practice, no source"
LEVELS = ("new", "taught or practised", "signed off", "supervising")
LEAST = 0.05  # fewer on a usual day are not said


def rests_on(
    facts: AheadFacts, forecast: Forecast, days: str, *, held: int, by_hand: bool
) -> list[tuple[str, str]]:
    """Return pairs of what is meant and what is known of it."""
    return [
        ("A try", "draws by chance who comes, which days are called off and how long jobs take."),
        ("People", _by_hand(facts) if by_hand else _people(facts, held)),
        ("On a day with work", f"{heads(round(forecast.came))} in the tries, {_idle(forecast)}"),
        ("Days", days),
        ("Days called off", _lost(facts)),
        ("Minutes", _minutes(facts)),
        ("Equipment", _equipment(facts)),
        (
            "Rules",
            "those of a crew plan: who leads, who supervises, minors with their guardian, what "
            "triage and the owner allow. Crews are made by a rule of thumb; a plan of the day does "
            "about a tenth more. Everybody is taken to sign the waiver of the day, and "
            "stones to be looked at again in time.",
        ),
    ]


def by_level(facts: AheadFacts, skill: str) -> str:
    """Return who comes on a usual day, by level: "5.1 new, 1.5 signed off"."""
    mean = usual_share([one for one in facts.people if not one.always])
    expected = [0.0] * len(LEVELS)
    expected[NEW] = sum(facts.newcomers) / max(1, len(facts.newcomers))
    for one in facts.people:
        expected[one.person.level(skill)] += expected_share(one, mean)
    said = [f"{n:.1f} {word}" for n, word in zip(expected, LEVELS, strict=True) if n >= LEAST]
    return ", ".join(reversed(said)) or "nobody"


def _people(facts: AheadFacts, held: int) -> str:
    known = f"{heads(len(facts.people))} who came to the last {some(held, 'day')} here"
    if not facts.newcomers:
        return f"{known}, each as often as before."
    low, high = min(facts.newcomers), max(facts.newcomers)
    new = str(low) if low == high else f"{low} to {high}"
    return f"{known}, each as often as before, and {new} for the first time, as then."


def _by_hand(facts: AheadFacts) -> str:
    return f"{heads(len(facts.people))}, as you say, each as often as you say."


def _idle(forecast: Forecast) -> str:
    if forecast.idle < 0.5:
        return "all with work."
    return f"{forecast.idle:.0f} of them without work in the morning."


def _lost(facts: AheadFacts) -> str:
    year = whole_year(facts.lost.values())
    if not year.days:
        return f"one in ten, as nothing is known here ({ASSUMED})."
    known = f"{year.called_off} of {some(year.days, 'past day')} here, by month"
    if year.days >= 4 * LOST_DAYS:
        return f"{known}."
    return f"{known}; the fewer days, the more one in ten counts ({ASSUMED})."


def _minutes(facts: AheadFacts) -> str:
    if len(facts.pace) < FEW_TIMES:
        few = (
            "no finished job has"
            if not facts.pace
            else f"only {len(facts.pace)} finished jobs have"
        )
        return (
            f"the estimates of the jobs; {few} a time noted here, so two jobs of three are taken "
            f"to last 0.7 to 1.4 times as long ({ASSUMED})."
        )
    pace = sorted(facts.pace)
    low, high = pace[len(pace) // 10], pace[-1 - len(pace) // 10]
    return (
        f"the estimates, times what {len(pace)} finished jobs here took of theirs, most of them "
        f"{low:.1f} to {high:.1f}."
    )


def _equipment(facts: AheadFacts) -> str:
    if not any(one.job.kit for one in facts.undone):
        return "none is needed."
    return "the most that a day here had; where none had any, as much as one job takes."
