"""The Chromium of the machine, and how it is started."""

import shutil

# Chromium starts no sandbox as root, and asks nobody outside for anything.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def program() -> str:
    """Return where Chromium is."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if not found:
        raise RuntimeError("Chromium is not installed; run make test")
    return found
