"""What every test shares."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from django.core.cache import cache
from django.db import connection
from pytest_django.plugin import DjangoDbBlocker
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

from tests.once import folder_of_the_run, made_once
from tests.service.stack import Stack

HERE = Path(__file__).parent
# Tests of these folders get their mark, and those of one file stay together in a parallel run.
FOLDERS = {"service": HERE / "service", "browser": HERE / "browser"}


@pytest.fixture(autouse=True)
def empty_cache() -> Iterator[None]:
    """Start each test with no counters."""
    yield
    cache.clear()


@pytest.fixture(scope="session")
def migrated_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Migrate one site of files, once for the run; who wants one begins with a copy."""

    def make(folder: Path) -> None:
        Stack(folder, {}).manage("migrate", "--verbosity=0")

    return made_once(folder_of_the_run(tmp_path_factory) / "migrated", make) / "var"


@pytest.fixture(scope="session")
def django_db_setup(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker, migrated_folder: Path
) -> None:
    """Fill the database of the tests with the tables and rows that the migrations make."""
    file = migrated_folder / "stone_days.sqlite3"
    with django_db_blocker.unblock(), closing(sqlite3.connect(file)) as migrated:
        connection.ensure_connection()
        migrated.backup(connection.connection)


# Loading the demo takes half a minute of processor: who needs it goes to the worker that has it.
ALL_PAGES = "tests/browser/test_pages.py"
ON_THE_DEMO = {"tests/browser/test_passkeys.py": ALL_PAGES}


class OneByOne(LoadScopeScheduling):  # type: ignore[misc]  # of an untyped package
    """Gives out one test after another, but whole files of tests that start servers for a file.

    The groups of the plugin itself have no effect with this pytest, whose ids cannot be set.
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return ON_THE_DEMO.get(file, file) if starts_servers(nodeid) else nodeid


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


@pytest.fixture(autouse=True)
def few_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a quick request make few tries in the tests' own process: any checked plan will do."""
    from workdays import watching
    from workdays.planner.solve import Limit

    monkeypatch.setitem(watching.LIMITS, watching.Effort.QUICK, Limit(rounds=5_000))
