"""Do once what is due, on a machine where no worker runs."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from coordinator import sweeping
from coordinator.celery import app


class Command(BaseCommand):
    """Deliver queued mail and run every sweeper once."""

    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        """Sweep and say how many messages left."""
        app.loader.import_default_modules()  # the packages' tasks add their sweepers
        try:
            sent = sweeping.sweep(timezone.now())
        except sweeping.SweepError as error:
            raise CommandError(f"These failed, see the log: {error}") from error
        self.stdout.write(f"{sent} messages left.")
