"""Chromium of the machine; every page is watched for errors on its console and for axe."""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, ConsoleMessage, Page

from tests.browser.chromium import FLAGS, program
from tests.browser.judge import light_and_dark
from tests.service.conftest import (  # noqa: F401  # fixtures of the served site
    mail_server,
    migrated_database,
    migrated_folder,
    postgres,
    receiver,
    redis_server,
    stack,
)
from tests.service.stack import Stack

# Playwright runs an event loop in the thread of the test, and Django takes that for a mistake.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

NewContext = Callable[..., BrowserContext]
PHONE = {"width": 360, "height": 780}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Start the Chromium of the machine."""
    return {**browser_type_launch_args, "executable_path": program(), "args": FLAGS}


def watch(context: BrowserContext, errors: list[str]) -> BrowserContext:
    """Note what any page of a browser writes to the console as an error."""

    def note(message: ConsoleMessage) -> None:
        if message.type == "error":
            errors.append(f"{message.text} ({message.location.get('url', '')})")

    context.on("console", note)
    context.on("weberror", lambda error: errors.append(str(error.error)))
    return context


@pytest.fixture
def new_context(new_context: NewContext) -> Iterator[NewContext]:
    """Fail a test in which any page of any of its browsers wrote an error to the console."""
    errors: list[str] = []

    def watched(**options: Any) -> BrowserContext:
        return watch(new_context(**options), errors)

    yield watched
    assert errors == [], "errors on the console"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stack]:
    """Serve the demo season, planned with a short search."""
    settings = {"DEMO": "true", "FORM_LEAST_SECONDS": "0", "PUBLIC_PAGE_SECONDS": "0"}
    site = Stack(tmp_path_factory.mktemp("demo"), settings)
    site.manage("demo", "--load-only", "--rounds=20")
    site.start_web()
    yield site
    site.stop()


@pytest.fixture
def assert_accessible() -> Callable[[Page], None]:
    """Give a check that axe finds no violation, in light and in dark."""

    def check(page: Page) -> None:
        found = [*light_and_dark(page)]
        assert not found, f"{page.url}: {found}"

    return check
