"""The page of the weather call: what the rules say of a day, and what can be decided."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from workdays.drawing.hours import Picture
from workdays.models import Call, Forecast, KindOfWork, Workday
from workdays.queries import naming
from workdays.queries.call_picture import picture
from workdays.queries.call_words import CallWords, call_words
from workdays.queries.calls import day_to_call, page_token
from workdays.queries.stone_facts import kind_facts
from workdays.queries.weather import Outlook, outlook
from workdays.rules.calls import DayToCall, settled_refusal
from workdays.rules.kinds import KindFacts
from workdays.rules.wall_clock import day_words, hour
from workdays.rules.weather import HOUR, HourVerdict, LimitFacts, Verdict, assumptions, concerns
from workdays.rules.weather_call import Decision, Proposal, heading, proposal

OLD = timedelta(hours=12)  # our own: a forecast is made anew several times a day


@dataclass(frozen=True)
class Choice:
    """One thing that can be decided; ``asked`` are the values that its page begins with."""

    decision: Decision
    words: str
    asked: str
    is_proposed: bool = False


@dataclass(frozen=True)
class Why:
    """One limit that bites: which kinds, in which hours, by which rule and source."""

    sign: str
    kinds: str
    when: str
    rule: str
    source: str


@dataclass(frozen=True)
class LastCall:
    """The newest decision: who, when, and in words."""

    call: Call
    words: CallWords
    when: str


@dataclass(frozen=True)
class CallPage:
    """Everything on the page; ``settled`` says why nothing can be decided any more."""

    heading: str
    token: str
    forecast: Forecast | None
    age: str
    is_old: bool
    decide_by: str
    settled: str
    proposed: Proposal | None
    picture: Picture | None
    whys: Sequence[Why]
    assumed: Sequence[str]
    rules: Sequence[LimitFacts]
    choices: Sequence[Choice]
    last: LastCall | None


def call_page(day: Workday, *, now: datetime) -> CallPage:
    """Return the page; a fixed number of statements, whatever the day holds."""
    facts, found, kinds = day_to_call(day), outlook(day), meant_kinds(day)
    meant = tuple(kind_facts(kind) for kind in kinds)
    settled = settled_refusal(facts, now)
    proposed = None if settled else proposed_for(day, facts, found, meant, now=now)
    return CallPage(
        heading=_heading(day, found, meant),
        token=page_token(day),
        forecast=found.forecast if found else None,
        age=age_words(found.forecast.entered_at, day, now=now) if found else "",
        is_old=bool(found and now - found.forecast.entered_at > OLD),
        decide_by=_decide_by(day, now),
        settled=settled.sentence if settled else "",
        proposed=proposed,
        picture=picture(found, meant, title=f"Weather on {naming.day_name(day)}")
        if found
        else None,
        whys=whys(found, kinds) if found else (),
        assumed=assumptions(found.hours) if found else (),
        rules=rules_for(found, meant) if found else (),
        choices=() if settled else choices(facts, proposed, now=now),
        last=_last(day),
    )


def meant_kinds(day: Workday) -> list[KindOfWork]:
    """Return the kinds of the day's jobs; of what a clinic teaches; else all. Two statements."""
    kinds = list(KindOfWork.objects.all())
    chosen = set(day.jobs.values_list("kind", flat=True))
    of_jobs = [kind for kind in kinds if kind.pk in chosen]
    taught = [kind for kind in kinds if day.teaches_id and kind.skill_id == day.teaches_id]
    return of_jobs or taught or kinds


def proposed_for(
    day: Workday,
    facts: DayToCall,
    found: Outlook | None,
    meant: Sequence[KindFacts],
    *,
    now: datetime,
) -> Proposal | None:
    """Return what the rules propose; None without a forecast."""
    if found is None:
        return None
    can_move = day.rain_on is not None and day.rain_on > now.astimezone(facts.zone).date()
    return proposal(meant, found.verdicts, window=found.window, has_rain_date=can_move)


def _heading(day: Workday, found: Outlook | None, meant: Sequence[KindFacts]) -> str:
    if day.state == Workday.State.CALLED_OFF:
        return f"{naming.day_name(day)} is called off"
    if found is None:
        return f"{naming.day_name(day)}: no forecast yet"
    return heading(meant, found.verdicts, day=naming.date_name(day), place=day.cemetery.name)


def age_words(entered_at: datetime, day: Workday, *, now: datetime) -> str:
    """Return "Forecast of 17:30 today, 40 minutes old"."""
    shown, today = entered_at.astimezone(day.cemetery.zone), now.astimezone(day.cemetery.zone)
    when = "today" if shown.date() == today.date() else f"on {day_words(shown.date())}"
    minutes = max(int((now - entered_at).total_seconds() // 60), 0)
    number, unit = (minutes, "minute") if minutes < 120 else (minutes // 60, "hour")
    return f"Forecast of {hour(shown)} {when}, {number} {unit}{'' if number == 1 else 's'} old"


def _decide_by(day: Workday, now: datetime) -> str:
    moment = naming.moment_name(day, day.call_by_at)
    if now < day.call_by_at:
        return f"You decide by {moment}, or the day stands as it is."
    return f"The call was due by {moment}: the day stands as it is until you decide."


def choices(facts: DayToCall, proposed: Proposal | None, *, now: datetime) -> tuple[Choice, ...]:
    """Return what can be decided, the proposed one first."""
    wanted = proposed.decision if proposed else None
    found = [_shorter(facts, proposed)]
    found.append(Choice(Decision.STANDS, "The day stands", ""))
    if facts.rain_on and facts.window.starts_at > now and facts.rain_on > _today(facts, now):
        words = f"Move to {day_words(facts.rain_on)}"
        found.append(Choice(Decision.MOVED, words, ""))
    found.append(Choice(Decision.CALLED_OFF, "Call it off", ""))
    marked = [
        Choice(one.decision, one.words, f"decision={one.decision}{one.asked}", True)
        if one.decision is wanted
        else Choice(one.decision, one.words, f"decision={one.decision}{one.asked}")
        for one in found
    ]
    return tuple(sorted(marked, key=lambda one: not one.is_proposed))


def _today(facts: DayToCall, now: datetime) -> date:
    return now.astimezone(facts.zone).date()


def _shorter(facts: DayToCall, proposed: Proposal | None) -> Choice:
    """Return the proposed new hours, or the way to choose some."""
    if proposed is None or proposed.decision is not Decision.SHORTENED:
        return Choice(Decision.SHORTENED, "Choose other hours", "")
    words = []
    if proposed.starts_at > facts.window.starts_at:
        words.append(f"start at {hour(proposed.starts_at)}")
    if proposed.ends_at < facts.window.ends_at:
        words.append(f"end at {hour(proposed.ends_at)}")
    asked = f"&starts={proposed.starts_at:%H:%M}&ends={proposed.ends_at:%H:%M}"
    return Choice(Decision.SHORTENED, ", ".join(words).capitalize(), asked)


def whys(found: Outlook, meant: Sequence[KindOfWork]) -> tuple[Why, ...]:
    """Return each limit that bites in some hour, with the kinds and hours it stops or watches.

    Air and stone that say the same are said once.
    """
    rows: dict[tuple[str, str], Why] = {}
    for limit in found.limits:
        kinds = [kind for kind in meant if concerns(limit, kind_facts(kind))]
        when = _when(limit, found.verdicts[kinds[0].key]) if kinds else ""
        if when:
            names = ", ".join(kind.name for kind in kinds)
            why = Why(kinds[0].sign, names, when, limit.sentence, limit.source)
            rows.setdefault((when, limit.sentence), why)
    return tuple(rows.values())


def _when(limit: LimitFacts, hours: Iterable[HourVerdict]) -> str:
    """Return "off 9:00 to 11:00, watch 11:00 to 12:00"; empty where the limit does not bite."""
    said = [(row.at, _word(limit, row)) for row in hours]
    pieces = []
    for word, run in groupby(said, key=lambda one: one[1]):
        stretch = [at for at, _word_of in run]
        if word is not None:
            ends = datetime.fromtimestamp((stretch[-1] + HOUR).timestamp(), stretch[-1].tzinfo)
            pieces.append(f"{word} {hour(stretch[0])} to {hour(ends)}")
    return ", ".join(pieces)


def _word(limit: LimitFacts, row: HourVerdict) -> Verdict | None:
    return next((r.verdict for r in row.reasons if r.limit == limit.key), None)


def rules_for(found: Outlook, meant: Sequence[KindFacts]) -> tuple[LimitFacts, ...]:
    """Return the limits that concern the work meant for the day, each sentence once."""
    kept = {
        limit.sentence: limit
        for limit in reversed(found.limits)
        if any(concerns(limit, kind) for kind in meant)
    }
    return tuple(reversed(kept.values()))


def _last(day: Workday) -> LastCall | None:
    call = day.calls.select_related("by").first()
    if call is None:
        return None
    return LastCall(call, call_words(call, day), naming.moment_name(day, call.at))
