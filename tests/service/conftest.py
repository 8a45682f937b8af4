"""Servers once for the run, a fresh site for each test."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller

from tests.service import servers
from tests.service.receiver import Receiver, serve
from tests.service.stack import Stack

STACKS = ["embedded", "servers"]


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """Give the address of a PostgreSQL cluster."""
    with servers.postgres() as address:
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
def migrated_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Migrate one site of files; each test begins with a copy of what it keeps."""
    site = Stack(tmp_path_factory.mktemp("migrated"), {})
    site.manage("migrate", "--verbosity=0")
    return site.folder / "var"


@pytest.fixture(scope="session")
def migrated_database(postgres: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Migrate one database of the cluster; each test begins with a copy of it. Return its name."""
    address = servers.new_database(postgres, "migrated")
    site = Stack(tmp_path_factory.mktemp("migrated"), {"DATABASE_URL": address})
    site.manage("migrate", "--verbosity=0")
    return "migrated"


def quick_settings(mail_server: Controller) -> dict[str, str]:
    """Return the settings of a site that mails to this server and does not keep a test waiting."""
    return {
        "EMAIL_HOST": mail_server.hostname,
        "EMAIL_PORT": str(mail_server.port),
        "EMAIL_USE_TLS": "false",
        "SWEEP_SECONDS": "2",
        "MAIL_CLAIM_SECONDS": "4",
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
        like = request.getfixturevalue("migrated_database")
        settings["DATABASE_URL"] = servers.new_database(cluster, "stone_days", like)
        settings["REDIS_URL"] = servers.empty_redis(request.getfixturevalue("redis_server"), 1)
    else:
        shutil.copytree(request.getfixturevalue("migrated_folder"), tmp_path / "var")
    site = Stack(tmp_path, settings)
    yield site
    receiver.go_on.set()  # a worker that still waits for the mail server ends at once
    site.stop()
