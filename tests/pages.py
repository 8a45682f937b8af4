"""What tests of pages share: somebody who logs in, and an answer as words."""

from typing import Any

from django.test import Client

from coordinator.models import Person


def log_in(client: Client, person: Person) -> None:
    """Log somebody in who has a log-in."""
    assert person.user is not None
    client.force_login(person.user)


def words(answer: Any) -> str:
    """Return the page that was answered, with single blanks."""
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())
