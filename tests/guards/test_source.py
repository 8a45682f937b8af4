"""What the source itself promises."""

import ast
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.management import call_command

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 50
PACKAGES = ("coordinator", "workdays", "training")
# Written in parts, so that this file does not hold what it forbids.
NEVER = [
    "py" + "pi.org",
    "python" + "hosted",
    "npm" + "js.",
    "/wo" + "rk/",
    "/ro" + "ot/",
    "/tm" + "p/",
]
BANNED = {
    ".del" + "ay(": PACKAGES,
    "delay_on_" + "commit": PACKAGES,
    "wait_for_" + "timeout": ("tests",),
}
NOW = re.compile(r"timezone\.now\(|datetime\.now\(|date\.today\(|localdate\(\)")
MAY_ASK_THE_TIME = re.compile(
    r"/(views|management|tasks)(/|\.py)|coordinator/(health|log_in_link|log_ins/sessions)\.py$"
)


def tracked() -> list[Path]:
    names = subprocess.run(  # fixed words
        ["git", "ls-files", "-z"],  # noqa: S607  # git is on the path of whoever runs tests
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    return [ROOT / name for name in names if name and (ROOT / name).is_file()]


def python_files() -> list[Path]:
    return [path for path in tracked() if path.suffix == ".py" and "migrations" not in path.parts]


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_no_function_is_too_long() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno} {node.name}"
        for path in python_files()
        for node in functions(path)
        if (node.end_lineno or 0) - node.lineno >= LONGEST
    ]
    assert found == []


def test_no_file_passes_five_hundred_lines() -> None:
    found = [p.name for p in python_files() if len(p.read_text().splitlines()) > 500]
    assert found == []


def test_no_tracked_file_names_a_registry_or_a_machine() -> None:
    found = []
    for path in tracked():
        content = path.read_bytes()
        found += [f"{path.relative_to(ROOT)}: {word}" for word in NEVER if word.encode() in content]
    assert found == []


@pytest.mark.parametrize("word", BANNED)
def test_words_that_break_promises_are_not_used(word: str) -> None:
    found = [
        str(path.relative_to(ROOT))
        for path in python_files()
        if path.relative_to(ROOT).parts[0] in BANNED[word] and word in path.read_text()
    ]
    assert found == []


def test_the_time_is_asked_for_in_views_tasks_and_commands_only() -> None:
    found = [
        str(path.relative_to(ROOT))
        for path in python_files()
        if path.relative_to(ROOT).parts[0] in PACKAGES
        and not MAY_ASK_THE_TIME.search(str(path))
        and NOW.search(path.read_text())
    ]
    assert found == []
