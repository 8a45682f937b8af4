"""Check the set-up of a site before people rely on it, and send one test mail."""

import smtplib
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from coordinator import health


class Command(BaseCommand):
    """Run every check, ask database, queue and worker, and mail a line to --to."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the mailbox of the test mail."""
        parser.add_argument("--to", help="mailbox that gets a test mail", default="")

    def handle(self, *args: Any, to: str, **options: Any) -> None:
        """Say of each part whether it works; end with 1 when one does not."""
        call_command("check", deploy=True, stdout=self.stdout, stderr=self.stderr)
        parts = {
            "database": health.database_answers(),
            "queue": health.queue_answers(),
            "worker": not health.worker_is_late(timezone.now()),
        }
        if to:
            parts["mail"] = self._mail(to)
        for name, works in parts.items():
            self.stdout.write(f"{name}: {'works' if works else 'does not answer'}")
        if not all(parts.values()):
            raise CommandError("Not everything works.")

    def _mail(self, to: str) -> bool:
        text = f"If you read this, {settings.SITE_URL} can send mail.\n"
        try:
            EmailMessage("Test mail", text, settings.DEFAULT_FROM_EMAIL, [to]).send()
        except (OSError, smtplib.SMTPException) as error:
            self.stderr.write(f"{type(error).__name__}: {error}")
            return False
        return True
