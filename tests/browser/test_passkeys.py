"""A passkey made and used in Chromium, by an authenticator that only Chromium knows."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.service.stack import Stack

DOORS = Path(__file__).parent / "scripts" / "demo_doors.py"
SIZES = [{"width": 360, "height": 780}, {"width": 1280, "height": 900}]


def with_authenticator(page: Page) -> None:
    """Give a page a key that unlocks itself."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    session.send("WebAuthn.addVirtualAuthenticator", {"options": options})


@pytest.mark.parametrize("viewport", SIZES, ids=["phone", "desk"])
def test_a_passkey_is_added_and_signs_in(
    demo: Stack,
    new_context: Callable[..., BrowserContext],
    assert_accessible: Callable[[Page], None],
    viewport: dict[str, int],
) -> None:
    # A passkey belongs to a name; an address of numbers has none.
    base = demo.url.replace("127.0.0.1", "localhost")
    doors = demo.python(DOORS)
    link = str(doors["doors"]["organiser"]).replace("127.0.0.1", "localhost")
    page = new_context(viewport=viewport).new_page()
    with_authenticator(page)
    page.goto(link)
    page.get_by_role("main").get_by_role("button").click()
    expect(page).to_have_url(f"{base}/week/")
    page.goto(f"{base}/log-ins/")
    assert_accessible(page)
    page.get_by_role("link", name="Add a passkey").click()
    page.get_by_label("A name for it").fill("my phone")
    assert_accessible(page)
    page.get_by_role("button", name="Make the passkey").click()
    expect(page.get_by_text("The passkey works from now on.")).to_be_visible()
    page.get_by_role("button", name="Sign me out everywhere").click()
    page.get_by_role("button", name="Sign in with a passkey").click()
    expect(page).to_have_url(f"{base}/week/")
    page.goto(f"{base}/log-ins/")
    expect(page.get_by_text("last used on").first).to_be_visible()


def test_an_address_of_numbers_offers_the_mailed_code_alone(
    demo: Stack, new_context: Callable[..., BrowserContext]
) -> None:
    page = new_context().new_page()
    page.goto(f"{demo.url}/log-in/")
    expect(page.get_by_role("button", name="Mail me a code")).to_be_visible()
    expect(page.get_by_role("button", name="Sign in with a passkey")).to_be_hidden()
