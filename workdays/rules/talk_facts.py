"""What a safety talk is made of: the work planned, who is there, the weather."""

from __future__ import annotations

from dataclasses import dataclass

from workdays.rules.lift_cautions import Line
from workdays.rules.weather import Thunder


@dataclass(frozen=True, slots=True)
class TalkKind:
    """One kind of work of the day: its flags, and the caution that the programme has written."""

    name: str
    caution: str
    lifts: bool = False
    digs: bool = False
    wets: bool = False
    mixed: bool = False
    mends: bool = False
    adults_only: bool = False
    crews: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TalkPeople:
    """Who is there. ``languages``: crew and the languages of those in it who have no English."""

    minors: int = 0
    light: int = 0
    languages: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Bite:
    """What one limit says of some work: kinds, hours, the word (off, watch), sentence, source."""

    kinds: tuple[str, ...]
    hours: str
    word: str
    sentence: str
    source: str


@dataclass(frozen=True, slots=True)
class TalkWeather:
    """The forecast of the day's hours; None: not known.

    ``heat_f`` is the highest heat index and ``hottest_at`` its hour as a clock shows it, ``air_f``
    the lowest and highest air, ``gust_mph`` the strongest gust.
    """

    heat_f: float | None = None
    hottest_at: str = ""
    air_f: tuple[float, float] | None = None
    gust_mph: float | None = None
    thunder: Thunder = Thunder.UNKNOWN
    bites: tuple[Bite, ...] = ()


@dataclass(frozen=True, slots=True)
class TalkFacts:
    """Everything for one talk. No ``weather``: there is no forecast.

    ``hoist``: a hoist is used; ``ladder_stones``: numbers of stones too tall to reach; ``bonds``:
    mending with a clamp.
    """

    kinds: tuple[TalkKind, ...] = ()
    people: TalkPeople = TalkPeople()
    weather: TalkWeather | None = None
    hoist: bool = False
    bonds: bool = False
    ladder_stones: tuple[str, ...] = ()
    dig_notice: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a talk: its heading and lines, each with what to do."""

    key: str
    heading: str
    lines: tuple[Line, ...]
