"""The machine that figures were measured on."""

import os
import platform
from datetime import UTC, datetime
from pathlib import Path


def machine() -> str:
    """Date, processor, cores, how busy they were, Python."""
    cores = os.cpu_count()
    busy = os.getloadavg()[0]
    today = f"{datetime.now(UTC):%Y-%m-%d}"
    where = f"{_processor()}, {cores} cores (load {busy:.1f} at the start)"
    return f"Measured {today} on {where}, Python {platform.python_version()}"


def _processor() -> str:
    lines = Path("/proc/cpuinfo").read_text().splitlines() if Path("/proc/cpuinfo").exists() else []
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()
