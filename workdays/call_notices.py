"""Notices of a decision: everybody who has a place, waits for one or was offered one."""

from dataclasses import asdict
from datetime import datetime

from coordinator.models import Person
from workdays.models import Call, Notice, Workday
from workdays.notices import notify, send_again
from workdays.queries.call_words import CAUTION, call_words
from workdays.queries.sign_ups import live_rows

TEMPLATE = "workdays/mail/call"
REASONS = {
    Call.Decision.STANDS: "the day stands",
    Call.Decision.SHORTENED: "the day has new hours",
    Call.Decision.MOVED: "the day moves",
    Call.Decision.CALLED_OFF: "the day is called off",
}


def concerned(day: Workday) -> list[Person]:
    """Return everybody who must know of a decision; one statement."""
    return [row.person for row in live_rows(day)]


def told_before(day: Workday) -> bool:
    """Return whether people were told something that a word of "it stands" would settle."""
    return Notice.objects.filter(day=day).exists()


def tell_call(call: Call, day: Workday, *, now: datetime) -> list[Notice]:
    """Notify everybody concerned of a decision."""
    return notify(
        day,
        concerned(day),
        REASONS[Call.Decision(call.decision)],
        call=call,
        context=_context(call, day),
        now=now,
        template=TEMPLATE,
    )


def tell_call_again(call: Call, day: Workday, *, now: datetime) -> int:
    """Mail a decision once more to those who have not seen it; return to how many."""
    rows = Notice.objects.filter(call=call, seen_at__isnull=True)
    rows = rows.select_related("person", "message", "day__cemetery", "day__teaches")
    return send_again(rows, context=_context(call, day), template=TEMPLATE, now=now)


def _context(call: Call, day: Workday) -> dict[str, object]:
    return {"call": asdict(call_words(call, day)), "caution": CAUTION}
