"""A sign-up as somebody typed it, for tests: valid for the newest waiver of the tests."""

from typing import Any

from coordinator.models import SentMessage
from tests.factories import WAIVER_TEXT
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


def last_mail() -> SentMessage:
    """Return the message that was queued last."""
    return SentMessage.objects.latest("pk")
