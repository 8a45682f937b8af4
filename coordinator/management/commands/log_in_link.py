"""Print a link that signs somebody of the staff in, where no mail goes out yet."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from coordinator.log_in_link import link_for
from coordinator.models import User


class Command(BaseCommand):
    """Print a one-shot link for an account; it works for one day."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the e-mail address of the account."""
        parser.add_argument("email")

    def handle(self, *args: Any, email: str, **options: Any) -> None:
        """Print the link."""
        user = User.objects.filter(email__iexact=email, is_active=True).first()
        if user is None:
            raise CommandError("There is no such account.")
        self.stdout.write(link_for(user))
