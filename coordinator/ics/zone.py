"""Moments and time zones as a calendar must say them.

A message carries its own VTIMEZONE (RFC 5545 section 3.6.5), written here from
the tz database as yearly rules: lists of dates (RDATE) are misread by big clients.
"""

from calendar import monthrange
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from icalendar import Component, Timezone, TimezoneDaylight, TimezoneStandard

FIRST_YEAR = 1990  # rules older than this matter to nobody's invitation
YEARS_AHEAD = 7  # enough for "last" and "fourth" Sunday of a month to differ
STEP = timedelta(days=2)
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the clocks; `wall` is naive, in the clock before the change."""

    wall: datetime
    before: timedelta
    after: timedelta
    name: str

    @property
    def kind(self) -> tuple[timedelta, timedelta, str]:
        """Return what two changes of the same yearly rule have in common."""
        return (self.before, self.after, self.name)


Rule = tuple[int, str]
Observance = tuple[Change, Rule | None]


def named(tzid: str) -> ZoneInfo:
    """Return the zone of that name; ValueError when there is none."""
    try:
        return ZoneInfo(tzid)
    except (ZoneInfoNotFoundError, OSError, ValueError) as unknown:
        raise ValueError(f"Unknown time zone: {tzid!r}") from unknown


def instant(moment: datetime) -> datetime:
    """Return a moment in UTC, in whole seconds; ValueError when it is naive.

    A wall clock time skipped by a change of the clocks counts with the offset before
    it, so 02:30 becomes 03:30. Source: RFC 5545 section 3.3.5.
    """
    first, second = moment.replace(fold=0), moment.replace(fold=1)
    before, after = first.utcoffset(), second.utcoffset()
    if before is None or after is None:
        raise ValueError(f"A moment without a time zone: {moment.isoformat()}")
    chosen = first if before < after else moment
    return chosen.astimezone(UTC).replace(microsecond=0)


def as_written(moment: datetime, tzid: str) -> datetime:
    """Return the moment in the zone, or in UTC where its wall clock time happens twice.

    A local time that happens twice means the first to the standard and the second to
    two readers, and the second one cannot be said at all. Source: RFC 5545 section 3.3.5.
    """
    exact = instant(moment)
    local = exact.astimezone(named(tzid))
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return exact if twice else local


def component(tzid: str, *, first_year: int, last_year: int) -> Timezone:
    """Return the VTIMEZONE that holds for these years, and after them while the law stays.

    Known to a running process until it restarts: restart after a new tz database.
    """
    block = Timezone()
    block.add("TZID", tzid)
    for change, rule in _observances(tzid, first_year, last_year):
        block.add_component(_observance(change, rule))
    return block


def _observance(change: Change, rule: Rule | None) -> Component:
    part = TimezoneDaylight() if change.after > change.before else TimezoneStandard()
    part.add("DTSTART", change.wall)
    part.add("TZOFFSETFROM", change.before)
    part.add("TZOFFSETTO", change.after)
    part.add("TZNAME", change.name)
    if rule:
        month, weekday = rule
        part.add("RRULE", {"FREQ": "YEARLY", "BYMONTH": month, "BYDAY": weekday})
    return part


@lru_cache(maxsize=256)
def _observances(tzid: str, first_year: int, last_year: int) -> tuple[Observance, ...]:
    """Return yearly rules if the zone has two, else its single changes one by one."""
    horizon = last_year + YEARS_AHEAD
    changes = _changes(tzid, horizon)
    recent = [change for change in changes if change.wall.year >= first_year - 1]
    if not recent:
        return ((_unchanged(tzid, datetime(first_year, 1, 1, tzinfo=UTC), year=1970), None),)
    yearly = _yearly(changes, first_year - 1, horizon)
    if yearly:
        return yearly
    opening = _unchanged(tzid, datetime(first_year - 1, 1, 1, tzinfo=UTC), year=first_year - 1)
    single = [change for change in recent if change.wall.year <= last_year + 1]
    return ((opening, None), *((change, None) for change in single))


def _unchanged(tzid: str, moment: datetime, *, year: int) -> Change:
    """Return the start of a time without changes: a single observance is still required."""
    local = moment.astimezone(named(tzid))
    offset = local.utcoffset() or timedelta()
    return Change(datetime(year, 1, 1), offset, offset, local.tzname() or tzid)  # noqa: DTZ001


def _yearly(
    changes: tuple[Change, ...], needed_from: int, horizon: int
) -> tuple[Observance, ...] | None:
    """Return the two rules of the zone, each from the first year in which it was the law.

    Starting that far back matters: a reader that probes past years takes a late block
    of London for UTC. None when no two rules hold from the year needed on.
    """
    found = None
    for year in range(horizon, FIRST_YEAR - 1, -1):
        since = [change for change in changes if change.wall.year >= year]
        rules = _two_rules(since, years=horizon - year + 1)
        if rules is None:
            return found if year < needed_from else None
        found = rules
    return found


def _two_rules(changes: list[Change], *, years: int) -> tuple[Observance, ...] | None:
    kinds: dict[object, list[Change]] = defaultdict(list)
    for change in changes:
        kinds[change.kind].append(change)
    rules = [(group[0], _rule(group)) for group in kinds.values()]
    if len(rules) != 2 or any(len(group) != years for group in kinds.values()):
        return None
    return tuple(rules) if all(rule for _, rule in rules) else None


def _rule(group: list[Change]) -> Rule | None:
    """Return month and weekday (2SU: the second Sunday, -1SU: the last) common to all changes."""
    walls = [change.wall for change in group]
    if len({(wall.month, wall.weekday(), wall.time()) for wall in walls}) != 1:
        return None
    if len({wall.year for wall in walls}) != len(walls):
        return None
    weekday = WEEKDAYS[walls[0].weekday()]
    nth = {(wall.day + 6) // 7 for wall in walls}
    if len(nth) == 1 and max(nth) < 5:
        return walls[0].month, f"{nth.pop()}{weekday}"
    last = all(wall.day + 7 > monthrange(wall.year, wall.month)[1] for wall in walls)
    return (walls[0].month, f"-1{weekday}") if last else None


@lru_cache(maxsize=64)
def _changes(tzid: str, horizon: int) -> tuple[Change, ...]:
    """Return every change of offset from FIRST_YEAR to the end of the horizon year."""
    zone = named(tzid)
    return tuple(_walk(zone, datetime(FIRST_YEAR, 1, 1, tzinfo=UTC), horizon))


def _walk(zone: ZoneInfo, start: datetime, horizon: int) -> Iterator[Change]:
    early = start
    while early.year <= horizon:
        late = early + STEP
        if _offset(early, zone) != _offset(late, zone):
            yield _change(zone, early, late)
        early = late


def _change(zone: ZoneInfo, early: datetime, late: datetime) -> Change:
    """Return the change between two moments, found to the second by halving."""
    before = _offset(early, zone)
    low, high = int(early.timestamp()), int(late.timestamp())
    while high - low > 1:
        middle = (low + high) // 2
        same = _offset(datetime.fromtimestamp(middle, UTC), zone) == before
        low, high = (middle, high) if same else (low, middle)
    onset = datetime.fromtimestamp(high, UTC)
    wall = (onset + before).replace(tzinfo=None)
    name = onset.astimezone(zone).tzname() or str(zone)
    return Change(wall, before, _offset(onset, zone), name)


def _offset(moment: datetime, zone: ZoneInfo) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta()
