"""What every test shares."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.cache import cache
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

HERE = Path(__file__).parent
# Tests of these folders get their mark, and those of one file stay together in a parallel run.
FOLDERS = {"service": HERE / "service", "browser": HERE / "browser"}


@pytest.fixture(autouse=True)
def empty_cache() -> Iterator[None]:
    """Start each test with no counters."""
    yield
    cache.clear()


class OneByOne(LoadScopeScheduling):  # type: ignore[misc]  # of an untyped package
    """Gives out one test after another, but whole files of tests that start servers for a file.

    The groups of the plugin itself have no effect with this pytest, whose ids cannot be set.
    """

    def _split_scope(self, nodeid: str) -> str:
        return nodeid.partition("::")[0] if starts_servers(nodeid) else nodeid


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> OneByOne:
    """Give the tests out so."""
    return OneByOne(config, log)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Iterator[None]:
    """Mark tests by their folder; put those that empty the database after all that need its rows.

    Other plugins move tests that share a browser to the first of them, so that it is not enough
    that they come last by the kind of their database.
    """
    for item in items:
        for name, folder in FOLDERS.items():
            if item.path.is_relative_to(folder):
                item.add_marker(name)
    yield
    # Files that start servers come first: what is left at the end is small, and fills the gaps.
    items.sort(key=lambda item: (empties_the_database(item), not starts_servers(item.nodeid)))


def starts_servers(nodeid: str) -> bool:
    """Whether a test lies in a folder whose files start servers of their own."""
    return any(nodeid.startswith(f"tests/{name}/") for name in FOLDERS)


def empties_the_database(item: pytest.Item) -> bool:
    """Whether all tables are empty once a test has ended, those that migrations fill too."""
    mark = item.get_closest_marker("django_db")
    return bool(mark and mark.kwargs.get("transaction"))
