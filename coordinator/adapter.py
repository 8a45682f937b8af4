"""How log-in behaves here: staff only, by mailed code, its mail through the outbox."""

import uuid
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.forms import ConfirmLoginCodeForm, RequestLoginCodeForm
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from coordinator import outbox
from coordinator.throttle import network_of

REASON = "log-in"


class StaffAdapter(DefaultAccountAdapter):  # type: ignore[misc]  # the library is untyped
    """Closes sign-up, and queues log-in mail as rows like every other message."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Return False: organisers are invited, nobody makes an account."""
        return False

    def get_login_stages(self) -> list[str]:
        """Return the mailed code alone: a passkey stands beside it and is no second factor."""
        return ["allauth.account.stages.LoginByCodeStage"]

    def get_client_ip(self, request: HttpRequest) -> str:
        """Return what tries are counted by, the same behind a proxy as for every other form."""
        return network_of(request)

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Queue the mail with the code, which stands nowhere else."""
        letter = outbox.compose(
            "coordinator/mail/login_code",
            {"code": context["code"]},
            reason=REASON,
            to_address=email,
        )
        outbox.queue(letter, key=f"{REASON}:{uuid.uuid4()}")


class MailboxForm(RequestLoginCodeForm):  # type: ignore[misc]  # the library is untyped
    """Asks for the mailbox that gets the code."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["email"]
        field.label = _("Your e-mail address")
        field.widget.attrs = {"autocomplete": "email"}


class CodeForm(ConfirmLoginCodeForm):  # type: ignore[misc]  # the library is untyped
    """Asks for the code."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["code"]
        field.label = _("The code from the mail")
        field.widget.attrs = {"autocomplete": "one-time-code", "autocapitalize": "characters"}
