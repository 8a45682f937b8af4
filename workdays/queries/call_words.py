"""What a decision is called, and what those concerned are to do; read by pages and mails."""

from dataclasses import dataclass

from workdays.models import Call, Workday
from workdays.queries import naming
from workdays.rules.wall_clock import day_words, hour

STOP = "Please do not come. Your place is free again, and the entry leaves your calendar."
ASK = "Whoever had a place keeps it. Please say by {until} whether you come on the new date."
CAUTION = (
    "Weather can be worse than its forecast: at the first thunder go to a closed building or a "
    "car, and whoever leads on the ground may stop work at any time."
)


@dataclass(frozen=True)
class CallWords:
    """A decision in words: ``subject`` heads it, ``sentence`` says it, ``todo`` what follows."""

    subject: str
    sentence: str
    todo: str
    reason: str


def call_words(call: Call, day: Workday) -> CallWords:
    """Return a decision in words, by the times of the day as it stood after it."""
    zone = day.cemetery.zone
    starts, ends = call.starts_at.astimezone(zone), call.ends_at.astimezone(zone)
    hours = f"{hour(starts)} to {hour(ends)}"
    when, place = day_words(starts.date()), day.cemetery.name
    if call.decision == Call.Decision.CALLED_OFF:
        subject = f"Called off: {when} at {place}"
        return CallWords(subject, f"{when} at {place} is called off.", STOP, call.reason)
    if call.decision == Call.Decision.MOVED:
        return CallWords(
            f"Moved to {when}: {place}",
            f"{_from(call, day)} at {place} moves to {when}, {hours}.",
            ASK.format(until=naming.moment_name(day, day.cut_off_at)),
            call.reason,
        )
    if call.decision == Call.Decision.SHORTENED:
        subject = f"New hours on {when}: {hours}"
        sentence = f"{when} at {place} is shorter: {hours}."
        return CallWords(subject, sentence, "Please keep to the new hours.", call.reason)
    subject = f"It stands: {when} at {place}"
    return CallWords(subject, f"{when} at {place} stands, {hours}.", "", call.reason)


def _from(call: Call, day: Workday) -> str:
    """Return the date that the day left, where it is still known."""
    if day.moved_from is None or day.starts_at != call.starts_at:
        return naming.purpose_name(day)
    return day_words(day.moved_from)
