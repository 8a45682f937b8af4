"""Chromium of the machine; every page is watched for errors on its console and for axe."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, expect

from tests.browser.chromium import FLAGS, program
from tests.browser.judge import in_light, light_and_dark
from tests.browser.touring import Phones, Town, clerk_of
from tests.service.conftest import (  # noqa: F401  # fixtures of the served site
    mail_server,
    migrated_cluster,
    postgres,
    quick_settings,
    receiver,
    redis_server,
    stack,
)
from tests.service.receiver import Receiver, serve
from tests.service.stack import Stack

# Playwright runs an event loop in the thread of the test, and Django takes that for a mistake.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

# Five seconds, as it comes, are too few for a page on a machine that runs other tests too.
expect.set_options(timeout=20_000)

NewContext = Callable[..., BrowserContext]
PHONE = {"width": 360, "height": 780}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Start the Chromium of the machine."""
    return {**browser_type_launch_args, "executable_path": program(), "args": FLAGS}


def watch(context: BrowserContext, errors: list[str]) -> BrowserContext:
    """Note what any page of a browser writes to the console as an error.

    Not that a page, or a form sent in place, answered "gone" or "not yet": the page says that.
    """
    opened: set[str] = set()

    def note(message: ConsoleMessage) -> None:
        address = message.location.get("url", "").partition("#")[0]
        said = any(f"a status of {status}" in message.text for status in (410, 422))
        if message.type == "error" and not (said and address in opened):
            errors.append(f"{message.text} ({address})")

    def note_address(request: Request) -> None:
        if request.is_navigation_request() or request.method == "POST":
            opened.add(request.url.partition("#")[0])

    context.on("request", note_address)
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
def demo(migrated_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stack]:
    """Serve the demo season, planned with a short search."""
    settings = {"DEMO": "true", "FORM_LEAST_SECONDS": "0", "PUBLIC_PAGE_SECONDS": "0"}
    site = Stack(tmp_path_factory.mktemp("demo"), settings)
    shutil.copytree(migrated_folder, site.folder / "var")
    site.manage("demo", "--load-only", "--rounds=20")
    site.start_web()
    yield site
    site.stop()


@pytest.fixture(scope="session")
def town(migrated_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Town]:
    """Serve one site on files for all tours, with its worker and a mail server."""
    folder, receiver = tmp_path_factory.mktemp("town"), Receiver()  # noqa: F811
    shutil.copytree(migrated_folder, folder / "var")
    controller = serve(receiver)
    many = {"SIGN_UPS_PER_NETWORK_HOUR": "500", "LINKS_PER_NETWORK_HOUR": "500"}
    site = Stack(folder, quick_settings(controller) | many)
    site.start_worker()
    site.start_web()
    with clerk_of(site) as clerk:
        yield Town(site, clerk, receiver)
    site.stop()
    controller.stop()


@pytest.fixture(params=[True, False], ids=["", "without JavaScript"])
def phones(request: pytest.FixtureRequest, town: Town, new_context: NewContext) -> Phones:
    """Give telephones for a tour that is made with JavaScript and without.

    Axe judges the pages of the first, in light: it needs minutes where scripts are off, and
    test_pages.py has each page in the dark.
    """

    def look(page: Page) -> None:
        found = [*in_light(page)]
        assert not found, f"{page.url}: {found}"

    def new_page() -> Page:
        context = new_context(viewport=PHONE, java_script_enabled=request.param)
        return context.new_page()

    return Phones(town, new_page, look if request.param else lambda page: None)


@pytest.fixture
def assert_accessible() -> Callable[[Page], None]:
    """Give a check that axe finds no violation, in light and in dark."""

    def check(page: Page) -> None:
        found = [*light_and_dark(page)]
        assert not found, f"{page.url}: {found}"

    return check
