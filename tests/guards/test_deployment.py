"""What a public site needs, asked of the product as it starts with production settings."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PRODUCTION = {
    "DEBUG": "false",
    "SECRET_KEY": "a-secret-of-the-tests-with-fifty-and-more-characters-0123456789",
    "SITE_URL": "https://days.hollin.example",
    "EMAIL_HOST": "mail.hollin.example",
}


def manage(folder: Path, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603  # fixed words
        [sys.executable, "manage.py", *words],
        env={"PATH": os.environ["PATH"], "VAR_DIR": str(folder), **env},
        cwd=ROOT, capture_output=True, text=True, timeout=120,
    )  # fmt: skip


def test_the_check_of_a_public_site_is_clean(tmp_path: Path) -> None:
    done = manage(tmp_path, "check", "--deploy", "--fail-level", "WARNING", **PRODUCTION)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "no issues" in done.stdout + done.stderr


@pytest.mark.parametrize("name", ["SECRET_KEY", "SITE_URL", "EMAIL_HOST"])
def test_a_public_site_does_not_start_without(tmp_path: Path, name: str) -> None:
    env = {key: value for key, value in PRODUCTION.items() if key != name}
    done = manage(tmp_path, "check", **env)
    assert done.returncode != 0
    assert f"{name} is missing" in done.stderr.splitlines()[-1]


def test_a_secret_may_stand_in_a_file(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text(PRODUCTION["SECRET_KEY"] + "\n")
    env = {key: value for key, value in PRODUCTION.items() if key != "SECRET_KEY"}
    done = manage(tmp_path, "check", **env, SECRET_KEY_FILE=str(secret))
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("name", "value"),
    [("DEBUG", "perhaps"), ("EMAIL_PORT", "many"), ("EMAIL_PORT", "70000"), ("DATABASE_URL", "x")],
)
def test_nonsense_in_the_environment_is_refused_by_name(
    tmp_path: Path, name: str, value: str
) -> None:
    done = manage(tmp_path, "check", **(PRODUCTION | {name: value}))
    assert done.returncode != 0
    assert name in done.stderr.splitlines()[-1]


def test_static_files_get_hashed_names(tmp_path: Path) -> None:
    done = manage(tmp_path, "collectstatic", "--no-input", **PRODUCTION)
    assert done.returncode == 0, done.stderr
    names = [path.name for path in (tmp_path / "static" / "coordinator").iterdir()]
    assert any(re.fullmatch(r"site\.[0-9a-f]{12}\.css", name) for name in names)
