"""What the papers say is what there is."""

import re
from pathlib import Path

from django.conf import settings

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
READ = re.compile(r"env\.(?:text|boolean|integer|secret|words)\(\s*\"([A-Z_]+)\"")
ROW = re.compile(r"(?m)^\| `([A-Z_]+)` \|")


def test_each_setting_has_a_row_in_the_readme_and_no_row_lacks_a_setting() -> None:
    read = set(READ.findall((ROOT / "coordinator" / "settings.py").read_text()))
    assert len(read) > 10
    assert set(ROW.findall(README)) == read


def test_each_command_is_in_the_papers() -> None:
    commands = {
        path.stem
        for path in ROOT.glob("*/management/commands/*.py")
        if not path.stem.startswith("_") and ".venv" not in path.parts
    }
    assert "serve" in commands
    assert {name for name in commands if f"`{name}" not in README + DEVELOPERS} == set()


def test_each_entry_of_the_timetable_is_in_the_papers() -> None:
    assert {e for e in settings.CELERY_BEAT_SCHEDULE if f"`{e}`" not in DEVELOPERS} == set()


def test_each_target_of_the_makefile_is_in_the_papers() -> None:
    [line] = re.findall(r"(?m)^\.PHONY: (.+)$", (ROOT / "Makefile").read_text())
    targets = set(line.split()) - {"help"}
    assert {name for name in targets if f"make {name}" not in README + DEVELOPERS} == set()
