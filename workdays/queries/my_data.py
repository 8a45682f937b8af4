"""Everything that is stored of one person, for that person: to read, and as a file.

Nothing of others goes along: who supervised, who leads a party or shares a mailbox stays out.
Sources: EU 2016/679 articles 15 (access and copy) and 20 (a copy that a machine can read).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from django.db.models import Model, Q

from coordinator.humans import same_human
from coordinator.models import Person, SentMessage
from training.models import Countersign, HoursEntry, SignOff
from workdays.models import Kept, MessageTo, Notice, OpeningMail, RollEntry, Signature, SignUp
from workdays.queries.signatures import record_of

Row = dict[str, object]
NOTHING = "not said"


@dataclass(frozen=True)
class Part:
    """What is stored of one sort: a key for the file, words for the page, the rows."""

    key: str
    words: str
    rows: list[Row]

    @property
    def shown(self) -> list[dict[str, str]]:
        """Return the rows as words for the page."""
        return [{name.replace("_", " "): _words(row[name]) for name in row} for row in self.rows]


def data_of(person: Person) -> list[Part]:
    """Return all that is stored of a person, sort by sort; a fixed number of statements."""
    of_person = Q(person__in=same_human(person))
    return [
        Part("you", "You", [_row(one, *OF_PERSON) for one in same_human(person)]),
        Part("sign_ups", "Days you signed up for", _sign_ups(of_person)),
        Part("signatures", "What was signed", _signatures(person)),
        Part("on_the_ground", "When you were on the ground", _roll(of_person)),
        Part("hours", "Your hours", _rows(_with_skill(HoursEntry, of_person), _hours)),
        Part("words_on_hours", "What was said of your hours", _words_on_hours(person)),
        Part("sign_offs", "Your sign-offs", _rows(_with_skill(SignOff, of_person), _sign_off)),
        Part("notices", "Notices to you", _notices(of_person)),
        Part("messages", "Messages about a day", _messages(of_person)),
        Part("mail", "Mail to you", _rows(SentMessage.objects.filter(of_person), _mail)),
        Part("mails_of_new_days", "Where you asked to hear of new days", _openings(of_person)),
        *([_kept(person)] if person.erased_at else []),
    ]


def as_json(parts: Iterable[Part]) -> dict[str, list[Row]]:
    """Return the parts as they stand in the file."""
    return {part.key: part.rows for part in parts}


OF_PERSON = (
    *("name", "email", "telephone", "emergency_name", "emergency_telephone", "languages"),
    *("born_on", "is_adult", "confirmed_at", "created_at"),
)
OF_SIGN_UP = (
    *("state", "held_until", "comes_at", "leaves_at", "experience", "languages", "words"),
    *("expected_at", "not_coming_at"),
    *("brings", "seats_offered", "seats_wanted", "seats_from"),
    *("cannot_lift", "cannot_kneel", "cannot_stand_long", "created_at", "changed_at"),
)


def _with_skill(model: type[HoursEntry] | type[SignOff], mine: Q) -> Iterable[Any]:
    return model._default_manager.filter(mine).select_related("skill")


def _rows(found: Iterable[Any], shape: Callable[[Any], Row]) -> list[Row]:
    return [shape(row) for row in found]


def _row(thing: Model, *names: str) -> Row:
    return {name: _plain(getattr(thing, name)) for name in names}


def _plain(value: object) -> object:
    if isinstance(value, datetime):
        return f"{value.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
    return value.isoformat() if isinstance(value, date) else value


def _words(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(f"{name}: {said}" for name, said in value.items()) or NOTHING
    if isinstance(value, list):
        return ", ".join(map(str, value)) or NOTHING
    return NOTHING if value in (None, "") else str(value)


def _sign_ups(mine: Q) -> list[Row]:
    found = SignUp.objects.filter(mine).select_related("day__cemetery", "wishes")
    return [
        {
            "place": row.day.cemetery.name,
            "day": _plain(row.day.starts_at),
            "wants_to_learn": row.wishes.name if row.wishes else None,
            **_row(row, *OF_SIGN_UP),
        }
        for row in found
    ]


def _signatures(person: Person) -> list[Row]:
    mine = same_human(person)
    found = Signature.objects.filter(Q(person__in=mine) | Q(signed_by__in=mine))
    return [
        {**record_of(row), "paper": bool(row.paper)}
        for row in found.select_related("waiver", "person", "signed_by")
    ]


def _roll(mine: Q) -> list[Row]:
    found = RollEntry.objects.filter(mine).select_related("day__cemetery")
    return [{"place": row.day.cemetery.name, **_row(row, "arrived_at", "left_at")} for row in found]


def _hours(row: HoursEntry) -> Row:
    return _row(row, "on", "place", "minutes") | {"skill": str(row.skill)}


def _words_on_hours(person: Person) -> list[Row]:
    found = Countersign.objects.filter(entry__person__in=same_human(person)).select_related("entry")
    return [
        {"on": _plain(row.entry.on), **_row(row, "decision", "minutes", "stones", "why", "at")}
        for row in found
    ]


def _sign_off(row: SignOff) -> Row:
    return _row(row, "level", "on", "words") | {"skill": str(row.skill)}


def _notices(mine: Q) -> list[Row]:
    found = Notice.objects.filter(mine).select_related("day__cemetery")
    return [
        {"place": row.day.cemetery.name, **_row(row, "reason", "created_at", "seen_at")}
        for row in found
    ]


def _messages(mine: Q) -> list[Row]:
    found = MessageTo.objects.filter(mine).select_related("message__day__cemetery")
    return [
        {"place": row.message.day.cemetery.name, **_row(row.message, "subject", "text", "at")}
        for row in found
    ]


def _openings(mine: Q) -> list[Row]:
    found = OpeningMail.objects.filter(mine).select_related("cemetery")
    return [{"place": row.cemetery.name, **_row(row, "agreed_at", "ended_at")} for row in found]


def _kept(person: Person) -> Part:
    rows = Kept.objects.filter(person=person)
    return Part(
        "kept", "Kept after you were erased", [_row(row, "name", "until_on") for row in rows]
    )


def _mail(row: SentMessage) -> Row:
    return _row(row, "to_address", "reason", "subject", "text", "state", "queued_at", "sent_at")
