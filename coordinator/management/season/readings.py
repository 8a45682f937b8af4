"""What was read on some stones of the season, with letters that are not sure."""

import random
from datetime import date, datetime, timedelta

from coordinator.models import Person
from workdays.actions.readings import record_reading
from workdays.models import Stone
from workdays.rules.reading import FactRead

GIVEN = ("Ann", "Asa", "Clara", "Eli", "Hannah", "Jonas", "Lydia", "Mercy", "Noah", "Ruth")
ODDS = 0.12


def make(
    stones: list[Stone], dice: random.Random, *, by: Person, today: date, now: datetime
) -> None:
    """Read some stones that bear a name; the letters of old ones are not all sure."""
    for stone in stones:
        if stone.name_on_stone and dice.random() < ODDS:
            on = today - timedelta(days=dice.randint(8, 120))
            lines, facts = _read(stone, dice)
            record_reading(stone, on=on, lines=lines, facts=facts, notes="", by=by, now=now)


def _read(stone: Stone, dice: random.Random) -> tuple[list[str], list[FactRead]]:
    given, year = dice.choice(GIVEN), stone.year_on_stone or dice.randint(1820, 1890)
    family = stone.name_on_stone.split()[-1]
    worn = f"{given[0]}[{given[1:]}]" if dice.random() < 0.4 else given
    lines = [
        "In memory of",
        f"{worn.upper()} {family.upper()}",
        f"who died {year}",
        "Æ. [..] years",
    ]
    sure = "likely" if "[" in worn else "sure"
    facts = [
        FactRead("name", f"{worn} {family}", sure),
        FactRead("died", str(year), "sure"),
    ]
    if dice.random() < 0.3:
        facts.append(
            FactRead("born", str(year - dice.randint(1, 80)), "likely", "register", "p. 12")
        )
    return lines, facts
