"""Load the demo season into an empty database and serve it."""

import sys
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from coordinator import links, serving
from coordinator.log_in_link import link_for
from coordinator.management.season.build import Builder
from coordinator.models import Person
from workdays.models import Cemetery, Host, Membership


class Command(BaseCommand):
    """Load the demo season, serve it with a worker, print one link per role."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Let tests load without serving, and with a shorter search."""
        parser.add_argument("--load-only", action="store_true", help="load, do not serve")
        parser.add_argument("--rounds", type=int, default=600, help="search rounds of each plan")

    def handle(self, *args: Any, **options: Any) -> None:
        """Migrate, load once, serve; refuse a public site."""
        if not settings.DEMO:
            raise CommandError("The demo opens doors: run it with DEMO=true, on this machine only.")
        call_command("migrate", verbosity=0)
        if not Cemetery.objects.exists():
            self.stdout.write("Loading the demo season ...")
            self.stdout.flush()
            now = timezone.now()
            Builder(today=timezone.localdate(), now=now, rounds=options["rounds"]).build()
        if options["load_only"]:
            return
        try:
            code = serving.serve(announce=self._announce)
        except serving.CannotServeError as error:
            raise CommandError(str(error)) from error
        sys.exit(code)

    def _announce(self) -> None:
        lines = [f"{settings.PROGRAMME_NAME}, the demo season, is at {settings.SITE_URL}/", ""]
        for words, address in self._links():
            lines.append(f"  {words:<11} {address}")
        lines += [
            "",
            "The organiser reads its mail under Mail, at the foot of each page. Ctrl-C stops it.",
        ]
        self.stdout.write("\n".join(lines))
        self.stdout.flush()

    def _links(self) -> list[tuple[str, str]]:
        organiser = Membership.objects.filter(role=Membership.Role.ORGANISER).earliest("pk")
        supervisor = Membership.objects.filter(role=Membership.Role.SUPERVISOR).earliest("pk")
        volunteer = Person.objects.get(name="Ivy Adeyemi")
        host = Host.objects.earliest("pk")
        return [
            ("organiser", _log_in(organiser.person)),
            ("supervisor", _log_in(supervisor.person)),
            ("volunteer", links.absolute("own_page", volunteer.secret)),
            ("host", links.absolute("host_page", host.secret)),
        ]


def _log_in(person: Person) -> str:
    if person.user is None:
        raise CommandError(f"{person} has no log-in.")
    return link_for(person.user)
