"""How log-in behaves here: staff only, by mailed code, its mail through the outbox."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone

from coordinator import outbox


class StaffAdapter(DefaultAccountAdapter):  # type: ignore[misc]  # the library is untyped
    """Closes sign-up, and queues log-in mail as rows like every other message."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Return False: organisers are invited, nobody makes an account."""
        return False

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Queue a log-in message; the code stands in the text only, never in a log."""
        subject = render_to_string(f"{template_prefix}_subject.txt", context)
        text = render_to_string(f"{template_prefix}_message.txt", context)
        outbox.queue(
            outbox.Letter(
                reason="log-in",
                to_address=email,
                subject=" ".join(subject.split()),
                text=text,
            ),
            key=f"login:{email}:{timezone.now().timestamp()}",
        )
