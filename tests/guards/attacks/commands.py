"""Attempts from the command line: every command, with arguments read off its own parser."""

import argparse
import contextlib
import io
import itertools
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command, get_commands, load_command_class
from django.core.management.base import BaseCommand, CommandError

from coordinator.models import User
from tests.guards.attacks.found import PACKAGES
from tests.guards.attacks.question import barred_work
from tests.guards.attacks.rows import NOW
from tests.guards.attacks.trying import Report, is_answer, undone
from workdays.models import Cemetery

SHEET = "No,Section,Date,Signs,Lean\nN2,North,2026-05-02,sugaring,0\n"
MOST = 12


def commands() -> list[str]:
    """Return the names of the product's own commands."""
    return sorted(name for name, app in get_commands().items() if app in PACKAGES)


def attack(name: str, folder: Path) -> Report:
    """Run a command with each line of arguments that its parser allows."""
    report = Report()
    command = load_command_class(get_commands()[name], name)
    for words in itertools.islice(_lines(command, name, folder), MOST):
        with undone(), _nothing_printed():
            try:
                call_command(name, *words)
                report.done += 1
            except (CommandError, SystemExit):
                report.refused += 1
            except Exception as error:  # noqa: BLE001  # sorted here into answers and crashes
                if is_answer(error):
                    report.refused += 1
                else:
                    report.crashes.append(f"{type(error).__name__}: {error} by {words}")
            report.holes += [f"{hole} by {name} {words}" for hole in barred_work(NOW)]
    return report


@contextlib.contextmanager
def no_port_free() -> Iterator[str]:
    """Hold a port, and name it as the one to serve on: whoever would serve says that it cannot."""
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        yield f"127.0.0.1:{held.getsockname()[1]}"


@contextlib.contextmanager
def _nothing_printed() -> Iterator[None]:
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        yield


def _lines(command: BaseCommand, name: str, folder: Path) -> Iterator[list[str]]:
    """Give lines of arguments: what is demanded, then each option besides."""
    own = [one for one in command.create_parser("manage.py", name)._actions if _is_own(one)]
    demanded = [one for one in own if not one.option_strings or one.required]
    asked = [[_word(one, value) for value in _values(one, folder)] for one in demanded]
    bases = [list(itertools.chain(*words)) for words in itertools.product(*asked)]
    yield from bases
    for base, option in itertools.product(bases, [one for one in own if one not in demanded]):
        for value in _values(option, folder)[:2] or [""]:
            yield [*base, *_word(option, value)]


def _is_own(action: argparse.Action) -> bool:
    usual = BaseCommand().create_parser("manage.py", "any")
    return action.dest not in {one.dest for one in usual._actions}


def _word(action: argparse.Action, value: str) -> list[str]:
    if not action.option_strings:
        return [value]
    return [action.option_strings[-1], *([value] if action.nargs != 0 else [])]


def _values(action: argparse.Action, folder: Path) -> list[str]:
    """Return what an argument can be, by its name and its type."""
    if action.nargs == 0:
        return []
    if action.choices:
        return list(map(str, action.choices))
    known: dict[str, Any] = {
        "cemetery": [one.name for one in Cemetery.objects.all()[:1]],
        "email": [one.email for one in User.objects.all()[:1]],
        "to": ["somebody@volunteers.example"],
    }
    if action.dest in known:
        return list(known[action.dest])
    if action.type in (int, float):
        return ["1"]
    sheet, broken = folder / "sheet.csv", folder / "other.json"
    sheet.write_text(SHEET)
    broken.write_text("{}")
    day = sorted((Path(settings.BASE_DIR) / "fixtures" / "days").glob("*.json"))[:1]
    return [str(sheet), str(broken), *map(str, day)]
