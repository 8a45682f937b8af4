"""The product as it runs: its own processes, on the embedded default or on servers."""

import json
import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from subprocess import run
from typing import Any

from tests.service.servers import LOOPBACK, Process, answers, free_port
from tests.waiting import eventually

ROOT = Path(__file__).resolve().parents[2]
PASSED_ON = ("PATH", "HOME", "LANG", "LC_ALL")


@dataclass
class Stack:
    """One site: a folder, an environment, and the processes started in it."""

    folder: Path
    settings: Mapping[str, str]
    web_port: int = field(default_factory=free_port)
    processes: list[Process] = field(default_factory=list)

    @property
    def url(self) -> str:
        """Return the address of the site."""
        return f"http://{LOOPBACK}:{self.web_port}"

    @property
    def env(self) -> dict[str, str]:
        """Return the environment of every process: nothing of the test run's own set-up."""
        passed = {name: os.environ[name] for name in PASSED_ON if name in os.environ}
        return passed | {
            "DJANGO_SETTINGS_MODULE": "coordinator.settings",
            "PYTHONPATH": str(ROOT),
            "VAR_DIR": str(self.folder / "var"),
            "SITE_URL": self.url,
            **self.settings,
        }

    def manage(self, *words: str) -> str:
        """Run a management command to its end; return what it prints."""
        return self._run(str(ROOT / "manage.py"), *words)

    def python(self, script: Path, *words: str) -> Any:
        """Run a script of the tests inside the site; return the JSON on its last line."""
        return json.loads(self._run(str(script), *words).splitlines()[-1])

    def _run(self, *words: str) -> str:
        done = run(  # noqa: S603  # commands of the tests' own
            [sys.executable, *words],
            env=self.env,
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=180,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def start_worker(self) -> Process:
        """Start a worker with the timetable, and return it when it is at work."""
        log = self.folder / f"worker-{len(self.processes)}.log"
        worker = self._start(
            log, "-m", "celery", "-A", "coordinator", "worker", "--beat", "--concurrency=2",
            "--loglevel=info", "--without-gossip", "--without-mingle",
        )  # fmt: skip
        eventually(lambda: " ready." in log.read_text(), timeout=120, what="worker is ready")
        return worker

    def start_web(self, application: str = "coordinator.wsgi") -> Process:
        """Start the web server, and return it when it answers."""
        log = self.folder / f"web-{self.web_port}.log"
        web = self._start(
            log, "-m", "gunicorn", application, "--threads=4",
            f"--bind={LOOPBACK}:{self.web_port}",
        )  # fmt: skip
        eventually(lambda: answers(self.web_port), timeout=120, what="web server answers")
        return web

    def _start(self, log: Path, *words: str) -> Process:
        process = Process(sys.executable, *words, env=self.env, log=log)
        self.processes.append(process)
        return process

    def stop(self) -> None:
        """End every process that is still there."""
        for process in reversed(self.processes):
            process.stop()
