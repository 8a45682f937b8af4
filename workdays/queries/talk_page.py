"""The safety talk of a day from rows: the work planned, who is in it, the newest forecast."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

from workdays.models import KindOfWork, SignUp, Workday
from workdays.queries.languages import language_name
from workdays.queries.loads import CLAMP, Work
from workdays.queries.plan_page import PlanPage
from workdays.queries.weather import Outlook
from workdays.rules.counting import joined
from workdays.rules.crew_naming import number_of
from workdays.rules.safety_talk import TALL_CM, talk
from workdays.rules.talk_facts import Bite, Part, TalkFacts, TalkKind, TalkPeople, TalkWeather
from workdays.rules.talk_weather import may_be_hot
from workdays.rules.units import fahrenheit, miles
from workdays.rules.wall_clock import hour
from workdays.rules.weather import (
    HOUR,
    HourFacts,
    HourReason,
    LimitFacts,
    Measure,
    Thunder,
    Verdict,
    heat_index_of,
    hours_of,
)

HOIST, ENGLISH = "hoist", "en"
# What is only on watch for these is said for the whole day by the talk itself.
SAID_ANYWAY = frozenset({Measure.HEAT_INDEX, Measure.THUNDER, Measure.GUST, Measure.WIND})


@dataclass(frozen=True)
class Lead:
    """Who signs that the talk was held: a crew and its lead, one line for each that differs."""

    crew: str
    name: str


@dataclass(frozen=True)
class TalkPage:
    """The talk of a day; ``forecast`` says on what its weather rests, empty where on none."""

    parts: list[Part]
    leads: list[Lead]
    forecast: str
    may_be_hot: bool


def talk_page(
    day: Workday,
    page: PlanPage,
    work: Work,
    sign_ups: Sequence[SignUp],
    outlook: Outlook | None,
) -> TalkPage:
    """Return the talk of a day; no statement of its own."""
    kinds = work.kinds
    facts = TalkFacts(
        kinds=tuple(_talk_kind(kind, page) for kind in kinds),
        people=_people(page, sign_ups),
        weather=_weather(outlook, kinds) if outlook else None,
        hoist=any(job.equipment.get(HOIST) for job in work.jobs),
        bonds=any(job.kind.needs_conservator and job.equipment.get(CLAMP) for job in work.jobs),
        ladder_stones=_tall(work),
        dig_notice=work.settings["dig_notice_days"].words,
    )
    return TalkPage(
        parts=talk(facts),
        leads=_leads(page),
        forecast=_forecast_words(outlook, day),
        may_be_hot=may_be_hot(facts.weather),
    )


def _talk_kind(kind: KindOfWork, page: PlanPage) -> TalkKind:
    crews = dict.fromkeys(crew.name for crew in page.crews if kind in crew.kinds)
    return TalkKind(
        name=kind.name,
        caution=kind.caution,
        lifts=kind.lifts,
        digs=kind.digs,
        wets=kind.wets,
        mixed=kind.mixed_batch,
        mends=kind.needs_conservator,
        adults_only=kind.adults_only,
        crews=tuple(crews),
    )


def _tall(work: Work) -> tuple[str, ...]:
    """Return the stones that hands are laid on higher than people reach."""
    tall = (
        job.stone.number
        for job in work.jobs
        if job.stone and job.kind.touches and (job.stone.height_cm or 0) >= TALL_CM
    )
    return tuple(dict.fromkeys(tall))


def _people(page: PlanPage, sign_ups: Sequence[SignUp]) -> TalkPeople:
    """Count those in a crew; while there is none, all who come."""
    placed = {person.pk for crew in page.crews for person in crew.people}
    rows = [row for row in sign_ups if row.person_id in placed or not placed]
    return TalkPeople(
        minors=sum(not row.person.is_adult for row in rows),
        light=sum(row.cannot_lift or row.cannot_stand_long for row in rows),
        languages=_languages(page, rows),
    )


def _languages(page: PlanPage, rows: Iterable[SignUp]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the crews in which somebody has no English, with what they speak, each crew once."""
    spoken = {row.person_id: list(row.languages or row.person.languages) for row in rows}
    found: dict[str, dict[str, None]] = {}
    for crew in page.crews:
        for person in crew.people:
            codes = spoken.get(person.pk, [])
            if codes and ENGLISH not in codes:
                names = found.setdefault(crew.name, {})
                names |= dict.fromkeys(language_name(str(code)) for code in codes)
    return tuple((crew, tuple(names)) for crew, names in found.items())


def _leads(page: PlanPage) -> list[Lead]:
    pairs = dict.fromkeys((crew.name, crew.lead.name) for crew in page.crews)
    return [Lead(crew, name) for crew, name in sorted(pairs, key=lambda pair: number_of(pair[0]))]


def _forecast_words(outlook: Outlook | None, day: Workday) -> str:
    if outlook is None:
        return ""
    at = outlook.forecast.entered_at.astimezone(day.cemetery.zone)
    return f"Forecast {outlook.forecast.get_source_display()} on {at.day} {at:%B}, {hour(at)}."


def _weather(outlook: Outlook, kinds: Sequence[KindOfWork]) -> TalkWeather:
    at_work = {moment.astimezone(UTC) for moment in hours_of(outlook.window)}
    hours = [facts for facts in outlook.hours if facts.at.astimezone(UTC) in at_work]
    felt = [(index, facts.at) for facts in hours if (index := heat_index_of(facts)) is not None]
    hottest = max(felt, default=None)
    air = [float(fahrenheit(h.temperature_c)) for h in hours if h.temperature_c is not None]
    gusts = [float(miles(h.gust_kmh)) for h in hours if h.gust_kmh is not None]
    zone = outlook.window.starts_at.tzinfo
    return TalkWeather(
        heat_f=hottest[0] if hottest else None,
        hottest_at=hour(hottest[1].astimezone(zone)) if hottest else "",
        air_f=(min(air), max(air)) if air else None,
        gust_mph=max(gusts, default=None),
        thunder=_thunder(hours),
        bites=tuple(_bites(outlook, kinds)),
    )


def _thunder(hours: Sequence[HourFacts]) -> Thunder:
    said = {facts.thunder for facts in hours}
    if Thunder.YES in said:
        return Thunder.YES
    return Thunder.NO if said == {Thunder.NO} else Thunder.UNKNOWN


@dataclass
class _Bitten:
    """A reason, with the kinds of work and the hours that it is said of."""

    reason: HourReason
    kinds: dict[str, None] = field(default_factory=dict)
    hours: dict[datetime, None] = field(default_factory=dict)


def _bites(outlook: Outlook, kinds: Sequence[KindOfWork]) -> Iterable[Bite]:
    """Return what limits say of the work planned: off first, then watch, alike ones once."""
    limits = {limit.key: limit for limit in outlook.limits}
    seen: dict[tuple[str, str], _Bitten] = {}
    for kind, at, reason in _reasons(outlook, kinds):
        if _is_said(reason, limits):
            key = (reason.verdict.value, limits[reason.limit].sentence)
            found = seen.setdefault(key, _Bitten(reason))
            found.kinds[kind] = None
            found.hours[at] = None
    for one in sorted(seen.values(), key=lambda one: one.reason.verdict != Verdict.OFF):
        reason, hours = one.reason, _hours_words(sorted(one.hours))
        yield Bite(tuple(one.kinds), hours, reason.verdict, reason.sentence, reason.source)


def _reasons(
    outlook: Outlook, kinds: Sequence[KindOfWork]
) -> Iterable[tuple[str, datetime, HourReason]]:
    for kind in kinds:
        for row in outlook.verdicts.get(kind.key, ()):
            for reason in row.reasons:
                yield kind.name, row.at, reason


def _is_said(reason: HourReason, limits: Mapping[str, LimitFacts]) -> bool:
    return reason.verdict is Verdict.OFF or limits[reason.limit].measure not in SAID_ANYWAY


def _hours_words(moments: Sequence[datetime]) -> str:
    """Return "9:00 to 11:00 and 14:00 to 15:00" from the hours that begin then."""
    runs: list[list[datetime]] = []
    for at in moments:
        if runs and at.timestamp() - runs[-1][-1].timestamp() == HOUR.total_seconds():
            runs[-1].append(at)
        else:
            runs.append([at])
    return joined([f"{hour(run[0])} to {hour(_end(run[-1]))}" for run in runs])


def _end(at: datetime) -> datetime:
    return datetime.fromtimestamp(at.timestamp() + HOUR.total_seconds(), tz=at.tzinfo)
