"""Serve the site with a worker beside it."""

import sys
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from coordinator import serving


class Command(BaseCommand):
    """Run the web server and one worker with the timetable, until Ctrl-C."""

    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        """Serve, and end with 1 when a process ended by itself."""
        try:
            code = serving.serve(announce=self._announce)
        except serving.CannotServeError as error:
            raise CommandError(str(error)) from error
        self.stdout.write("Stopped.")
        sys.exit(code)

    def _announce(self) -> None:
        self.stdout.write(f"{settings.PROGRAMME_NAME}: {settings.SITE_URL}  (Ctrl-C stops it)")
        self.stdout.flush()
