"""Real servers on loopback, each in a folder of its own, ended with the test run."""

import os
import shutil
import signal
import socket
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

import psycopg
import redis
from psycopg.sql import SQL, Identifier

from tests.waiting import eventually

LOOPBACK = "127.0.0.1"


def free_port() -> int:
    """Return a port on loopback that nobody listens on."""
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        return int(probe.getsockname()[1])


def answers(port: int) -> bool:
    """Return whether somebody listens on a port of loopback."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex((LOOPBACK, port)) == 0


def running_in(group: int) -> list[int]:
    """Return the processes of a group that have not ended; zombies have, and hold nothing open."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            pid, rest = stat.parent.name, stat.read_text().rpartition(")")[2]
            state, _parent, its_group = rest.split()[:3]
            if int(its_group) == group and state not in "ZX":
                found.append(int(pid))
    return found


class Process:
    """A program in a process group of its own, its words in a file."""

    def __init__(
        self, *command: str | Path, env: Mapping[str, str], log: Path, user: str | None = None
    ) -> None:
        self.log = log
        with log.open("ab") as words:
            self.popen = subprocess.Popen(  # noqa: S603  # commands of the tests' own
                [str(part) for part in command],
                env=dict(env),
                stdin=subprocess.DEVNULL,
                stdout=words,
                stderr=subprocess.STDOUT,
                start_new_session=True,
                user=user,
                group=user,
                extra_groups=[] if user else None,
            )

    def kill(self) -> None:
        """End the whole group at once, as kill -9 does: nothing can be tidied up."""
        with suppress(ProcessLookupError):
            os.killpg(self.popen.pid, signal.SIGKILL)
        self.popen.wait(20)
        # A worker's children may outlive it for a moment, with their connections open.
        eventually(lambda: not running_in(self.popen.pid), timeout=20, what="the group ended")

    def stop(self) -> None:
        """Ask the program to end, and kill what is left of it."""
        if self.popen.poll() is None:
            self.popen.terminate()
            with suppress(subprocess.TimeoutExpired):
                self.popen.wait(20)
        self.kill()


def postgres_programs() -> Path:
    """Return the folder of initdb and postgres: Debian keeps them out of PATH."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    if not found and not on_path:
        raise RuntimeError("PostgreSQL is not installed; run make test")
    return found[-1].parent if found else Path(str(on_path)).parent


@contextmanager
def postgres(like: Path | None = None, *, keep: Path | None = None) -> Iterator[str]:
    """Give the address of a cluster, without a database name at its end.

    It is fresh, or like the data of another that was kept in a folder. PostgreSQL refuses to run
    as root, so root hands it to the user that Debian made for it.
    """
    user = "postgres" if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="stone-days-postgres-"))
    data, log = folder / "data", folder.with_suffix(".log")
    try:
        if like:
            shutil.copytree(like, data)
            hand_over(folder, user)
        else:
            hand_over(folder, user)
            make_cluster(data, log, user)
        with served(data, log, user) as address:
            yield address
        if keep:
            shutil.copytree(data, keep)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        log.unlink(missing_ok=True)


def hand_over(folder: Path, user: str | None) -> None:
    """Give a folder, with all that is in it, to a user, if there is one to give it to."""
    if user:
        for path in (folder, *folder.rglob("*")):
            shutil.chown(path, user, user)


def environment(folder: Path) -> dict[str, str]:
    """Return the environment of the programs of PostgreSQL."""
    return {"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8", "HOME": str(folder)}


def make_cluster(data: Path, log: Path, user: str | None) -> None:
    """Make the files of a cluster that trusts everybody on this machine."""
    init = Process(
        postgres_programs() / "initdb", "--auth=trust", "--username=stones", "--encoding=UTF8",
        "--no-sync", "--pgdata", data, env=environment(data.parent), log=log, user=user,
    )  # fmt: skip
    if init.popen.wait(120):
        raise RuntimeError(log.read_text())


@contextmanager
def served(data: Path, log: Path, user: str | None) -> Iterator[str]:
    """Serve the files of a cluster, and give its address."""
    port = free_port()
    address = f"postgresql://stones@{LOOPBACK}:{port}"
    options = {
        "listen_addresses": LOOPBACK,
        "port": str(port),
        "unix_socket_directories": "",
        "fsync": "off",
    }
    settings = [part for name, value in options.items() for part in ("-c", f"{name}={value}")]
    server = Process(
        postgres_programs() / "postgres", "-D", data, *settings,
        env=environment(data.parent), log=log, user=user,
    )  # fmt: skip
    try:
        eventually(lambda: takes_connections(address), timeout=60, what="PostgreSQL")
        yield address
    finally:
        server.popen.send_signal(signal.SIGINT)  # fast shutdown: PostgreSQL manual, 18.5
        server.stop()


def takes_connections(cluster: str) -> bool:
    """Return whether a cluster has finished starting."""
    with suppress(psycopg.OperationalError), psycopg.connect(f"{cluster}/postgres"):
        return True
    return False


def new_database(cluster: str, name: str, like: str = "template1") -> str:
    """Make a database in a cluster, in place of an older one; return its address.

    It is empty, or ``like`` another one that nobody has open.
    """
    with psycopg.connect(f"{cluster}/postgres", autocommit=True) as connection:
        connection.execute(SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(Identifier(name)))
        words = SQL("CREATE DATABASE {} TEMPLATE {}")
        connection.execute(words.format(Identifier(name), Identifier(like)))
    return f"{cluster}/{name}"


@contextmanager
def redis_server() -> Iterator[str]:
    """Give the address of a Redis that keeps nothing on disk."""
    program = shutil.which("redis-server")
    if not program:
        raise RuntimeError("Redis is not installed; run make test")
    folder = Path(tempfile.mkdtemp(prefix="stone-days-redis-"))
    port = free_port()
    server = Process(
        program, "--bind", LOOPBACK, "--port", str(port), "--save", "", "--appendonly", "no",
        "--dir", folder, env={"PATH": os.environ["PATH"]}, log=folder / "log",
    )  # fmt: skip
    try:
        eventually(lambda: answers(port), what="Redis")
        yield f"redis://{LOOPBACK}:{port}"
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


def empty_redis(address: str, number: int) -> str:
    """Return the address of one numbered database of a Redis, emptied."""
    with redis.Redis.from_url(f"{address}/{number}") as client:
        client.flushdb()
    return f"{address}/{number}"
