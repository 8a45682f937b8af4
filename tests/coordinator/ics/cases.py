"""Facts for calendar tests, and the fixture's vectors turned into octets by our writer."""

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from coordinator import ics
from tests.readers import libical, vobject_reader

FIXTURE = Path(__file__).parents[3] / "fixtures" / "calendar" / "vectors.json"
READERS = [
    pytest.param(vobject_reader.read, id="vobject"),
    pytest.param(libical.read, id="libical", marks=pytest.mark.service),
]

WHERE = ZoneInfo("America/Detroit")


def make_invite(**overrides: Any) -> ics.Invite:
    """Return an invitation to a cleaning day at Alder Hill on 9 May 2026."""
    facts: dict[str, Any] = {
        "uid": UUID("7b6f3c52-5f7e-4c0a-8d31-2f1f6a1c9e01"),
        "sequence": 0,
        "dtstamp": datetime(2026, 4, 1, 12, tzinfo=UTC),
        "starts_at": datetime(2026, 5, 9, 9, tzinfo=WHERE),
        "ends_at": datetime(2026, 5, 9, 12, tzinfo=WHERE),
        "tzid": "America/Detroit",
        "summary": "Cleaning day at Alder Hill",
        "description": "Bring gloves, water; a hat.",
        "location": "Alder Hill, north gate",
        "latitude": 42.7361,
        "longitude": -84.4839,
        "url": "https://stones.example/days/12/",
        "organizer_name": "Ruth Okafor",
        "organizer_email": "invites@hollin.example",
        "attendee_name": "Ana Lopez",
        "attendee_email": "ana@mail.example",
    }
    return ics.Invite(**{**facts, **overrides})


def make_public_day(**overrides: Any) -> ics.PublicDay:
    """Return the same day as everybody may see it."""
    invite = make_invite()
    shared = (name for name in ics.PublicDay.__dataclass_fields__ if name != "called_off")
    facts = {name: getattr(invite, name) for name in shared}
    return ics.PublicDay(**{**facts, **overrides})


def vectors() -> list[Any]:
    """Return (facts, expect) of every vector, named as in the fixture."""
    stored = json.loads(FIXTURE.read_text("utf-8"))
    return [
        pytest.param({**stored["defaults"], **vector["facts"]}, vector["expect"], id=vector["id"])
        for vector in stored["vectors"]
    ]


def written(facts: Mapping[str, Any]) -> bytes:
    """Return what our writer makes of the facts of one vector."""
    if facts["kind"] == "public":
        return _public(facts)
    people = ("organizer_name", "organizer_email", "attendee_name", "attendee_email")
    given = {name: facts[name] for name in (*people, "rsvp") if name in facts}
    if "partstat" in facts:
        given["partstat"] = ics.Partstat(facts["partstat"])
    invite = make_invite(**_common(facts), **given)
    if facts["kind"] == "request":
        return ics.request(invite)
    whole_day = facts["kind"] == "cancel all"
    return ics.cancel(invite, whole_day=whole_day, reason=facts.get("reason", ""))


def _public(facts: Mapping[str, Any]) -> bytes:
    days = [
        make_public_day(**_common({**facts, **day}), called_off=facts.get("called_off", False))
        for day in facts.get("days", [facts])
    ]
    feed = ics.Feed(**facts["feed"]) if "feed" in facts else None
    return ics.published(days, tzid=facts["tzid"], year=2026, feed=feed)


def _common(facts: Mapping[str, Any]) -> dict[str, Any]:
    zone = ZoneInfo(facts["tzid"])
    start = datetime.fromisoformat(facts["start"])
    return {
        "uid": UUID(facts["uid"]),
        "sequence": facts["sequence"],
        "dtstamp": datetime.fromisoformat(facts["dtstamp"]),
        "starts_at": start.replace(tzinfo=zone, fold=facts.get("start_fold", 0)),
        "ends_at": datetime.fromisoformat(facts["end"]).replace(tzinfo=zone),
        "tzid": facts["tzid"],
        "summary": facts["title"],
        "description": facts.get("description", ""),
        "location": facts.get("location", ""),
    }
