"""The pages of the log-in on a phone."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from tests.browser.conftest import DESK, PHONE
from tests.browser.judge import assert_fits


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_log_in_can_be_used_by_everybody(
    page: Page,
    live_server: LiveServer,
    assert_accessible: Callable[[Page], None],
    size: dict[str, int],
) -> None:
    page.set_viewport_size(size)  # type: ignore[arg-type]  # a plain dict in the stubs' eyes
    page.goto(f"{live_server.url}/log-in/")
    assert_accessible(page)
    page.get_by_label("Your e-mail address").fill("nobody")
    page.get_by_role("button", name="Mail me a code").click()
    expect(page.locator(".invalid-feedback")).to_be_visible()
    assert_accessible(page)
    assert_fits(page)
    page.get_by_label("Your e-mail address").fill("nobody@hollin.example")
    page.get_by_role("button", name="Mail me a code").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Type the code")
    assert_accessible(page)
