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


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Iterator[None]:
    """Mark tests by their folder; put those that empty the database after all that need its rows.

    Other plugins move tests that share a browser to the first of them, so that it is not enough
    that they come last by the kind of their database.
    """
    for item in items:
        last = empties_the_database(item)
        for name, folder in FOLDERS.items():
            if item.path.is_relative_to(folder):
                item.add_marker(name)
                if not last:
                    item.add_marker(pytest.mark.xdist_group(name))
        if last:
            item.add_marker(pytest.mark.xdist_group("last"))
    yield
    items.sort(key=empties_the_database)


def empties_the_database(item: pytest.Item) -> bool:
    """Whether all tables are empty once a test has ended, those that migrations fill too."""
    mark = item.get_closest_marker("django_db")
    return bool(mark and mark.kwargs.get("transaction"))
