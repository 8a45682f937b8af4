"""What every test shares."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.cache import cache

HERE = Path(__file__).parent
# Tests of these folders get their mark, and stay together on one worker of a parallel run.
FOLDERS = {"service": HERE / "service", "browser": HERE / "browser"}


@pytest.fixture(autouse=True)
def empty_cache() -> Iterator[None]:
    """Start each test with no counters."""
    yield
    cache.clear()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark tests by their folder."""
    for item in items:
        for name, folder in FOLDERS.items():
            if item.path.is_relative_to(folder):
                item.add_marker(name)
                item.add_marker(pytest.mark.xdist_group(name))
