"""Every page of the demo season, as each role reaches it.

One h1, no axe violation in light and dark, no page wider than the screen at 1280, 360 and 320 px,
focus that shows, and the same words and working forms without JavaScript.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.conftest import watch
from tests.browser.judge import OTHER_WORDS, faults, light_and_dark
from tests.browser.walk import names, walk
from tests.service.stack import Stack

# Who comes first loads the season and walks all of it: that takes minutes on a slow machine.
pytestmark = pytest.mark.timeout(600)

SCRIPTS = Path(__file__).parent / "scripts"
ROLES = ("nobody", "volunteer", "host", "organiser", "supervisor")
STAFF = ROLES[3:]

# Addresses that are no page of their own, and why.
NO_PAGE = {
    "health": "an answer for machines",
    "account_login": "the log-in under a second name",
    "account_confirm_login_code": "shown after a form is sent: test_log_in.py",
    "day_calendar": "a calendar file",
    "feed": "a calendar",
    "day_people": "a table as a file",
    "crew_sheet_pdf": "a PDF",
    "plan_live": "a part of the page of a plan",
    "all_sheets_pdf": "a PDF",
    "stone_history_pdf": "a PDF",
    "plan_sheet_pdf": "a PDF",
    "sheet_csv": "a spreadsheet",
    "sheet_xlsx": "a spreadsheet",
    "mail_html": "a mail as its reader sees it, inside the page of the mail",
    "photograph": "a picture",
    "gallery_picture": "a picture",
    "permission_paper": "a paper",
    "own_data_file": "a file",
    "own_waiver_pdf": "a PDF",
    "own_paper": "a picture",
    "paper_picture": "a picture",
    "person_signature_pdf": "a PDF",
    "passkey_sign_in": "a challenge for the script of the log-in page",
    "passkey_name": "of a passkey, which the demo has none of: test_passkeys.py",
    "passkey_remove": "of a passkey, which the demo has none of: test_passkeys.py",
}
# What a device does cannot be done without a script; the page says so, and what works instead.
NEEDS_A_SCRIPT = {"passkey_add"}
# Addresses that take a press only; the button stands on another page.
PRESSES = {
    "batches_put",
    "booking_refuse",
    "cemetery_chains_add",
    "countersign",
    "day_open",
    "day_remind",
    "gallery_show",
    "host_withdraw",
    "invitation_take_back",
    "log_out_everywhere",
    "notices_again",
    "own_come",
    "person_part",
    "photograph_pair",
    "photograph_unpair",
    "piece_judge",
    "plan_hand",
    "plan_publish",
    "plan_let_go",
    "plan_run",
    "plan_stop",
    "plan_cancel",
    "plan_undo",
    "plan_what_if",
    "roll_arrive",
    "roll_leave",
    "sheet_discard",
    "sheet_import",
    "sheet_undo",
    "sign_off_new",
    "sign_off_revoke",
    "stone_chain_add",
}


@dataclass(frozen=True)
class Visit:
    """One address, and the browsers of the role that reaches it."""

    role: str
    address: str


@dataclass(frozen=True)
class Tour:
    """The demo as each role walks it: addresses by name of page, and who is logged in how."""

    pages: Mapping[str, list[Visit]]
    states: Mapping[str, Any]


def entered(browser: Browser, role: str, door: str) -> BrowserContext:
    """Open a browser as somebody; staff press the button of their log-in link."""
    context = browser.new_context()
    if role in STAFF:
        page = context.new_page()
        page.goto(door)
        page.locator("main").get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/week/")
        page.close()
    return context


@pytest.fixture(scope="session")
def tour(demo: Stack, browser: Browser) -> Tour:
    """Walk the whole demo once; who logs in sees again only what nobody else can open."""
    told = demo.python(SCRIPTS / "demo_doors.py")
    unlinked = demo.python(SCRIPTS / "demo_unlinked.py", str(told["sign_up"]))
    doors = told["doors"]
    starts = {
        "nobody": [f"{demo.url}/", f"{demo.url}/log-in/", doors["organiser"], *unlinked],
        "volunteer": [doors["volunteer"]],
        "host": [doors["host"]],
        "organiser": [f"{demo.url}/week/", f"{demo.url}/log-out/"],
        "supervisor": [f"{demo.url}/week/"],
    }
    pages: dict[str, list[Visit]] = {}
    states: dict[str, Any] = {}
    for role in ROLES:
        context = entered(browser, role, doors.get(role, ""))
        found = walk(context.request, demo.url, starts[role])
        states[role] = context.storage_state()
        context.close()
        open_to_all = {name for name, seen in pages.items() if seen[0].role not in STAFF}
        for name in found.keys() - open_to_all:
            pages.setdefault(name, []).append(Visit(role, found[name]))
    return Tour(pages, states)


@pytest.fixture(scope="session")
def judge(tour: Tour, browser: Browser) -> Iterator[Callable[[Visit], list[str]]]:
    """Give what judges one visit, in a browser with JavaScript and in one without.

    Each role keeps its two browsers, and with them what they hold of style sheets.
    """
    contexts: dict[str, tuple[Page, Page]] = {}
    errors: list[str] = []

    def opened(role: str, **options: Any) -> Page:
        context = browser.new_context(storage_state=tour.states[role], **options)
        return watch(context, errors).new_page()

    def judged(visit: Visit) -> list[str]:
        errors.clear()
        if visit.role not in contexts:
            contexts[visit.role] = (
                opened(visit.role),
                opened(visit.role, java_script_enabled=False),
            )
        said = faults(*contexts[visit.role], visit.address) + errors
        return [f"{visit.role}, {visit.address}: {fault}" for fault in said]

    yield judged
    for pages in contexts.values():
        for page in pages:
            page.context.close()


@pytest.mark.parametrize("name", sorted({*names()} - {*NO_PAGE, *PRESSES}))
def test_everybody_can_use_the_page(
    name: str, tour: Tour, judge: Callable[[Visit], list[str]]
) -> None:
    assert tour.pages.get(name), "no link of any role leads there"
    found = [fault for visit in tour.pages[name] for fault in judge(visit)]
    if name in NEEDS_A_SCRIPT:
        found = [fault for fault in found if not fault.endswith(OTHER_WORDS)]
    assert not found, "\n".join(found)


def test_no_link_leads_to_a_press(tour: Tour) -> None:
    assert {*tour.pages} & PRESSES == set()


@pytest.mark.parametrize("path", ["no-such-page/", "you/no-such-person/"])
def test_a_page_that_is_not_there_says_so(demo: Stack, browser: Browser, path: str) -> None:
    page, plain = browser.new_page(), browser.new_page()
    said = faults(page, plain, f"{demo.url}/{path}")
    page.context.close()
    plain.context.close()
    assert said == ["answers 404"]


def test_one_text_that_is_hard_to_read_is_found_among_many_alike(browser: Browser) -> None:
    page = browser.new_page()
    rows = "".join(f"<tr><td><a href='#{n}'>stone {n}</a></td></tr>" for n in range(40))
    dark = "@media (prefers-color-scheme: dark) { body { background: #222; color: #fff; }"
    one = "tr:nth-child(31) td { background: #eee; } a { color: #fff; } }"
    page.set_content(f"<style>a {{ color: #236; }} {dark} {one}</style><table>{rows}</table>")
    page.evaluate("() => { document.querySelectorAll('a')[16].style.color = '#bcd'; }")
    found = [fault for fault in light_and_dark(page) if "color-contrast" in fault]
    page.context.close()
    assert found == [
        'axe: color-contrast at a[href$="#16"]',
        'axe in the dark: color-contrast at a[href$="#30"]',
    ]
