"""Servers once for the run, a fresh site for each test."""

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


@pytest.fixture(params=STACKS)
def stack(
    request: pytest.FixtureRequest, tmp_path: Path, mail_server: Controller
) -> Iterator[Stack]:
    """Give a migrated site: files only, or PostgreSQL and Redis; both with a real mail server."""
    settings = {
        "EMAIL_HOST": mail_server.hostname,
        "EMAIL_PORT": str(mail_server.port),
        "EMAIL_USE_TLS": "false",
        "SWEEP_SECONDS": "2",
        "MAIL_CLAIM_SECONDS": "4",
        "FORM_LEAST_SECONDS": "0",
    }
    if request.param == "servers":
        cluster = request.getfixturevalue("postgres")
        settings["DATABASE_URL"] = servers.new_database(cluster, "stone_days")
        settings["REDIS_URL"] = servers.empty_redis(request.getfixturevalue("redis_server"), 1)
    site = Stack(tmp_path, settings)
    site.manage("migrate", "--verbosity=0")
    yield site
    site.stop()
