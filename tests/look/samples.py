"""Invented facts for the drawings: Alder Hill as it could be in May."""

import math
import random

from workdays.drawing import ground_facts, hours, season, timeline

TYPES = ["tablet"] * 6 + ["shouldered"] * 2 + ["obelisk", "pedestal", "ledger", "footstone"]
TYPES += ["flush", "other"]
STATES = ["sound"] * 5 + ["clean"] * 4 + ["reset"] * 3 + ["conservator", "leave_alone"]
STATES += ["look_again", "not_seen"]


def rows_of_stones(
    rows: int, columns: int, *, at: tuple[float, float], lean: float, seed: int, measured: bool
) -> tuple[ground_facts.StoneFacts, ...]:
    """Return stones in rows, 2.2 m apart in the row, with gaps; ``lean`` turns all in degrees."""
    draw = random.Random(seed)
    c, s = math.cos(math.radians(lean)), math.sin(math.radians(lean))
    stones = []
    for row in range(1, rows + 1):
        for position in range(1, columns + 1):
            if draw.random() < 0.1:
                continue
            east, south = 2.2 * position + draw.uniform(-0.2, 0.2), 3.4 * row
            stones.append(
                ground_facts.StoneFacts(
                    number=f"{seed}{row}/{position}",
                    type=draw.choice(TYPES),
                    state=draw.choice(STATES),
                    href=f"/stones/{seed}{row}{position}/",
                    row=row,
                    position=position,
                    east_m=at[0] + east * c - south * s if measured else None,
                    north_m=at[1] - south * c - east * s if measured else None,
                )
            )
    return tuple(stones)


def outline(
    rows: int, columns: int, *, at: tuple[float, float], lean: float
) -> tuple[tuple[float, float], ...]:
    """Return the corners of a section of so many rows, as metres east and north."""
    c, s = math.cos(math.radians(lean)), math.sin(math.radians(lean))
    width, depth = 2.2 * columns + 1.6, 3.4 * rows + 1.4
    edge = [(0.6, 0.4), (width, 0.4), (width, depth), (0.6, depth)]
    return tuple((at[0] + e * c - d * s, at[1] - d * c - e * s) for e, d in edge)


def alder_hill(*, measured: bool = True) -> ground_facts.GroundFacts:
    """Return three sections, a path, a gate with water, and trees."""
    plots = [
        ("Old hill", 4, 13, (0.0, 20.0), -1.4),
        ("Road side", 3, 13, (0.0, 1.0), 0.0),
        ("Maple section", 7, 12, (35.0, 18.0), 1.2),
    ]
    sections = tuple(
        ground_facts.SectionFacts(
            name=name,
            stones=rows_of_stones(rows, columns, at=at, lean=lean, seed=i, measured=measured),
            outline=outline(rows, columns, at=at, lean=lean) if measured else (),
        )
        for i, (name, rows, columns, at, lean) in enumerate(plots, start=1)
    )
    return ground_facts.GroundFacts(
        title="Alder Hill: what each stone needs", sections=sections, landmarks=LANDMARKS * measured
    )


LANDMARKS = (
    ground_facts.LandmarkFacts("path", ((33.0, 21.0), (33.4, 8.0), (34.0, -11.0))),
    ground_facts.LandmarkFacts("gate", ((33.0, 21.5),), "gate"),
    ground_facts.LandmarkFacts("water", ((37.0, 20.5),), "water tap"),
    ground_facts.LandmarkFacts("tree", ((68.0, 19.0),)),
    ground_facts.LandmarkFacts("tree", ((70.0, 5.0),)),
)


def crew_plan() -> timeline.DayFacts:
    """Return a day of four crews with lunch and an hour on watch."""

    def bar(begin: int, end: int, sign: str, text: str) -> timeline.BarFacts:
        titles = {"rake": "Raking", "clean": "Cleaning", "reset": "Reset"}
        return timeline.BarFacts(begin, end, sign, titles[sign], text, href=f"#job-{begin}")

    crews = [
        ("Crew 1", "Marta Reyes", 5, [(540, 630, "rake", "Old hill, row 1 to 2")]),
        ("Crew 2", "Ben Lindqvist", 3, [(540, 645, "reset", "Maple 4/3, with hoist")]),
        ("Crew 3", "Tom Achterberg", 3, [(600, 720, "clean", "Road side 1/2, 1/3, 1/6")]),
        ("Crew 4", "Lucy Park", 3, [(540, 600, "rake", "Maple, row 4")]),
    ]
    more = {
        "Crew 1": [(630, 720, "clean", "Old hill 1/4, 1/7, 2/2")],
        "Crew 2": [(645, 720, "reset", "Maple 4/5"), (750, 870, "reset", "Maple 5/1, with hoist")],
        "Crew 3": [(750, 870, "clean", "Road side 2/1, 2/4, 2/9")],
        "Crew 4": [(600, 615, "clean", "Maple 2/1"), (750, 870, "reset", "Maple 4/9, clamp, Ben")],
    }
    return timeline.DayFacts(
        "Crews of Saturday 9 May",
        540,
        900,
        tuple(
            timeline.CrewFacts(
                name,
                (f"{lead} leads", f"{people} people"),
                tuple(bar(*one) for one in [*first, *more[name]]),
            )
            for name, lead, people, first in crews
        ),
        (
            timeline.BandFacts(720, 750, "break", "lunch"),
            timeline.BandFacts(870, 900, "watch", "rain: watch"),
        ),
    )


def weather() -> hours.WeatherFacts:
    """Return a cold morning that gets better."""
    values = [36, 37, 39, 40, 43, 47, 52, 56, 58, 57]
    verdicts = {
        "Raking": "on on on on on on on on watch on",
        "Cleaning": "off off off off watch on on on on watch",
        "Resetting": "watch watch on on on on on on on off",
    }
    return hours.WeatherFacts(
        "Air by the hour on Saturday 9 May, and what each kind of work may do",
        tuple(hours.HourFacts(f"{6 + i}:00", float(value)) for i, value in enumerate(values)),
        tuple(
            hours.StripFacts(name, tuple(hours.CellFacts(v, f"because {v}") for v in row.split()))
            for name, row in verdicts.items()
        ),
        (hours.LimitFacts(40.0, "limit 40 °F"),),
    )


def season_bars() -> tuple[season.BarFacts, ...]:
    """Return the work of a spring."""
    return (
        season.BarFacts("Raking", 9, "9 sections"),
        season.BarFacts("Cleaning", 41, "41 stones"),
        season.BarFacts("Resetting", 7, "7 stones"),
        season.BarFacts("Mending", 0, "none yet"),
    )
