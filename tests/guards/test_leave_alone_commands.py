"""No command puts work that touches on a day, at a stone that is left alone."""

from pathlib import Path
from typing import Any

import pytest
import time_machine

from tests.guards.attacks.commands import attack, commands, no_port_free
from tests.guards.attacks.rows import NOW
from workdays.management.commands import plan_file

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("barred_world")]


@pytest.mark.parametrize("name", commands())
def test_no_command_puts_a_hand_on_a_stone_left_alone(
    name: str, tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.DEMO = True
    settings.MEDIA_ROOT = tmp_path / "files"
    monkeypatch.setattr(plan_file, "ROUNDS", 20)  # any plan will do
    with no_port_free() as port, time_machine.travel(NOW, tick=False):
        settings.LISTEN = port
        report = attack(name, tmp_path)
    assert report.holes == []
    assert report.done + report.refused > 0, report.crashes[:3]


def test_a_sheet_from_the_command_line_is_heard(tmp_path: Path) -> None:
    with time_machine.travel(NOW, tick=False):
        assert attack("import_stones", tmp_path).done > 0
