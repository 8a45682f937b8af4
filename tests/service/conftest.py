"""Servers once for the run, a fresh site for each test."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller

from tests.once import folder_of_the_run, made_once
from tests.service import servers
from tests.service.receiver import Receiver, serve
from tests.service.stack import Stack

STACKS = ["embedded", "servers"]
MIGRATED = "migrated"


@pytest.fixture(scope="session")
def postgres(migrated_cluster: Path) -> Iterator[str]:
    """Give the address of a PostgreSQL cluster that has one migrated database."""
    with servers.postgres(migrated_cluster) as address:
        yield address


@pytest.fixture(scope="session")
def redis_server() -> Iterator[str]:
    """Give the address of a Redis."""
    with servers.redis_server() as address:
        yield address


@pytest.fixture
def receiver() -> Receiver:
    """Give a mail server's memory, before it starts: a test may make it slow."""
    return Receiver()


@pytest.fixture
def mail_server(receiver: Receiver) -> Iterator[Controller]:
    """Start the mail server."""
    controller = serve(receiver)
    yield controller
    receiver.go_on.set()
    controller.stop()


@pytest.fixture(scope="session")
def migrated_cluster(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Migrate one database of one cluster; each worker of the run serves a copy of it."""

    def make(folder: Path) -> None:
        with servers.postgres(keep=folder / "data") as cluster:
            address = servers.new_database(cluster, MIGRATED)
            Stack(folder, {"DATABASE_URL": address}).manage("migrate", "--verbosity=0")

    return made_once(folder_of_the_run(tmp_path_factory) / "migrated-cluster", make) / "data"


def quick_settings(mail_server: Controller) -> dict[str, str]:
    """Return the settings of a site that mails to this server and does not keep a test waiting."""
    return {
        "EMAIL_HOST": mail_server.hostname,
        "EMAIL_PORT": str(mail_server.port),
        "EMAIL_USE_TLS": "false",
        "SWEEP_SECONDS": "2",
        "MAIL_CLAIM_SECONDS": "8",
        "FORM_LEAST_SECONDS": "0",
        "PUBLIC_PAGE_SECONDS": "0",
    }


@pytest.fixture(params=STACKS)
def stack(
    request: pytest.FixtureRequest, tmp_path: Path, mail_server: Controller, receiver: Receiver
) -> Iterator[Stack]:
    """Give a migrated site: files only, or PostgreSQL and Redis; both with a real mail server."""
    settings = quick_settings(mail_server)
    if request.param == "servers":
        cluster = request.getfixturevalue("postgres")
        settings["DATABASE_URL"] = servers.new_database(cluster, "stone_days", MIGRATED)
        settings["REDIS_URL"] = servers.empty_redis(request.getfixturevalue("redis_server"), 1)
    else:
        shutil.copytree(request.getfixturevalue("migrated_folder"), tmp_path / "var")
    site = Stack(tmp_path, settings)
    yield site
    receiver.go_on.set()  # a worker that still waits for the mail server ends at once
    site.stop()
