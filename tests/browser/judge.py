"""What every page must be: judged in Chromium, each fault a sentence."""

from collections.abc import Iterator, Mapping
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.contrast import poor_contrast

OTHER_WORDS = "says something else without JavaScript"
WIDTHS = (320, 360, 1280)
HEIGHT = 800
# Colours that are on their way from light to dark are judged where they arrive. They are sent
# there: a window in which nothing is painted would never see them come.
SETTLED = "() => document.getAnimations().forEach((one) => one.finish())"

WIDER = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
FARTHEST = """() => [...document.querySelectorAll("body *")]
  .map((one) => [one.getBoundingClientRect().right, one.outerHTML.slice(0, 160)])
  .reduce((far, one) => one[0] >= far[0] ? one : far)[1]"""

# Controls that a keyboard reaches and that show no ring, border or shadow when it is on them.
UNSEEN_FOCUS = """() => {
  const reached = "a[href], button, input:not([type=hidden]), select, textarea, summary";
  const seen = (one) => one.checkVisibility({visibilityProperty: true})
    && one.tabIndex >= 0 && !one.disabled;
  const rung = (style) => (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2)
    || style.boxShadow !== "none";
  const faults = [];
  for (const one of [...document.querySelectorAll(reached)].filter(seen)) {
    one.focus();
    if (document.activeElement !== one || !rung(getComputedStyle(one)))
      faults.push(one.outerHTML.slice(0, 120));
  }
  return faults;
}"""

# Without JavaScript a form needs a button, and what htmx fetches must be a link or a form as well.
DEAD_CONTROLS = """() => {
  const faults = [];
  for (const form of document.querySelectorAll("form"))
    if (!form.querySelector("button:not([type=button]), input[type=submit]"))
      faults.push("a form without a button: " + form.outerHTML.slice(0, 120));
  const fetching = "[hx-get], [hx-post], [hx-put], [hx-patch], [hx-delete]";
  for (const one of document.querySelectorAll(fetching))
    if (!one.matches("a[href], form") && !one.closest("form"))
      faults.push("only JavaScript can use it: " + one.outerHTML.slice(0, 120));
  for (const one of document.querySelectorAll("button"))
    if (!one.form) faults.push("a button outside every form: " + one.outerHTML.slice(0, 120));
  return faults;
}"""

# Contrast is most of the work of axe, and is judged apart.
ALL_BUT_CONTRAST = {"rules": {"color-contrast": {"enabled": False}}}
# What a narrow screen changes is sizes: of what is touched, and of what scrolls.
SIZES = {
    "runOnly": {"type": "rule", "values": ["target-size", "scrollable-region-focusable"]},
    "rules": {"target-size": {"enabled": True}},
}
READ_AXE = "() => typeof axe !== 'undefined'"
RUN_AXE = """async (options) => (await axe.run({resultTypes: ["violations"], ...options}))
  .violations.map((one) => [one.id, one.nodes.map((node) => node.target.join(" "))])"""

WORDS = "() => document.querySelector('main').innerText.replace(/\\s+/g, ' ').trim()"


def faults(page: Page, plain: Page, address: str) -> list[str]:
    """Return the faults of the page at an address; ``plain`` is a browser without JavaScript."""
    page.set_viewport_size({"width": WIDTHS[0], "height": HEIGHT})
    answer = page.goto(address)
    found = [] if answer and answer.ok else [f"answers {answer and answer.status}"]
    found += _without_scripts(page, plain, address)
    found += _axe(page, SIZES, where=f" at {WIDTHS[0]} px")
    for width in WIDTHS:
        found += _fits(page, width)
    return [*found, *_headings(page), *light_and_dark(page), *_focus(page)]


def _headings(page: Page) -> Iterator[str]:
    count = page.locator("h1").count()
    if count != 1:
        yield f"{count} main headings"
    if not page.title().strip():
        yield "no title"
    if "{%" in page.content() or "{{" in page.content():
        yield "a tag of a template stands on the page"


def in_light(page: Page) -> Iterator[str]:
    """Give what axe finds on the page as it is, and whether it has its headings."""
    yield from _headings(page)
    yield from _axe(page, ALL_BUT_CONTRAST)
    yield from _contrast(page)


def light_and_dark(page: Page) -> Iterator[str]:
    """Give what axe finds on the page in light, and in dark where only colours differ."""
    yield from _axe(page, ALL_BUT_CONTRAST)
    yield from _contrast(page)
    page.emulate_media(color_scheme="dark")
    yield from _contrast(page, " in the dark")
    page.emulate_media(color_scheme="light")
    page.evaluate(SETTLED)


def _axe(page: Page, options: Mapping[str, Any], where: str = "") -> Iterator[str]:
    _settle(page)
    for rule, targets in page.evaluate(RUN_AXE, dict(options)):
        for target in targets:
            yield f"axe{where}: {rule} at {target}"


def _contrast(page: Page, where: str = "") -> Iterator[str]:
    _settle(page)
    for target in poor_contrast(page):
        yield f"axe{where}: color-contrast at {target}"


def _settle(page: Page) -> None:
    """Let the styles come and colours arrive, and have axe in the page."""
    page.wait_for_load_state("load")
    page.evaluate(SETTLED)
    if not page.evaluate(READ_AXE):
        page.evaluate(Axe().axe_script)


def _fits(page: Page, width: int) -> Iterator[str]:
    page.set_viewport_size({"width": width, "height": HEIGHT})
    wider = page.evaluate(WIDER)
    if wider > 0:
        yield f"{wider} px wider than a screen of {width} px: {page.evaluate(FARTHEST)}"


def _focus(page: Page) -> Iterator[str]:
    """Focus shows (WCAG 2.2, 2.4.7); a head that repeats can be skipped (2.4.1)."""
    page.keyboard.press("Tab")
    if page.locator("body > header").count():
        first = page.locator(".skip:focus")
        if not first.count() or not first.is_visible():
            yield "the first stop of the keyboard does not lead past the head of the page"
    for element in page.evaluate(UNSEEN_FOCUS):
        yield f"focus is not seen: {element}"


def _without_scripts(page: Page, plain: Page, address: str) -> Iterator[str]:
    """Compare the page as it has come, at the least width, with what no script has touched."""
    plain.set_viewport_size({"width": WIDTHS[0], "height": HEIGHT})
    plain.goto(address)
    if plain.evaluate(WORDS) != page.evaluate(WORDS):
        page.goto(address)  # a minute may have passed between the two: "entered 3 minutes ago"
        plain.goto(address)
        if plain.evaluate(WORDS) != page.evaluate(WORDS):
            yield OTHER_WORDS
    yield from _fits(plain, WIDTHS[0])
    yield from plain.evaluate(DEAD_CONTROLS)


def assert_fits(page: Page) -> None:
    """Check that the page a browser shows is not wider than its screen."""
    # Words can be read before the style sheet is there, and are wider without it.
    page.wait_for_load_state("load")
    wider = page.evaluate(WIDER)
    assert wider <= 0, f"{page.url} is {wider} px too wide: {page.evaluate(FARTHEST)}"
