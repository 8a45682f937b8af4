"""A sign-up and a request for a clinic as somebody typed them, for tests: both valid."""

from dataclasses import replace
from datetime import date
from typing import Any

from coordinator.models import SentMessage
from tests.factories import WAIVER_TEXT, skill
from workdays.actions.bookings import BookingWishes
from workdays.actions.sign_ups import Application, Contact, Wishes
from workdays.rules.signed_text import sha256


def application(**overrides: Any) -> Application:
    """Return the sign-up of Ana Costa, an adult with some experience of cleaning."""
    values: dict[str, Any] = {
        "name": "Ana Costa",
        "email": "ana@hollin.example",
        "contact": Contact("555-0142", "Rui Costa", "555-0143"),
        "wishes": Wishes(experience={"cleaning": "some"}, languages=["en"]),
        "is_adult": True,
        "typed_name": "Ana Costa",
        "text_sha256": sha256(WAIVER_TEXT),
    }
    return Application(**(values | overrides))


def request(**overrides: Any) -> BookingWishes:
    """Return what the Mill Lane Society asks for: a clinic on cleaning in its yard."""
    asked = BookingWishes(
        name="Mill Lane Society",
        contact_name="Ada Contact",
        email="ada@hosts.example",
        telephone="555-0142",
        skill=skill("cleaning"),
        cemetery=None,
        place="Old yard at Mill Lane",
        wished_on=date(2026, 6, 13),
        or_on=None,
        people=20,
    )
    return replace(asked, **overrides)


def last_mail() -> SentMessage:
    """Return the message that was queued last."""
    return SentMessage.objects.latest("pk")
