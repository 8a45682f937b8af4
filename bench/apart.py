"""A process and an embedded database of their own for what is measured."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
PREPARE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from {module} import measure
measure()
"""


def measured_apart(module: str) -> None:
    """Run a module's ``measure`` in a fresh process, on an empty database of its own."""
    with tempfile.TemporaryDirectory() as folder:
        env = os.environ | {"VAR_DIR": folder, "DATABASE_URL": "", "LOG_LEVEL": "warning"}
        # As on a public site: templates are kept, statements are not.
        env |= {"DJANGO_SETTINGS_MODULE": "tests.settings", "DEMO": "true"}
        words = [sys.executable, "-c", PREPARE.format(module=module)]
        subprocess.run(words, cwd=ROOT, env=env, check=True)  # noqa: S603  # fixed words
