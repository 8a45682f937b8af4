"""Somebody at a keyboard: Tab, Space, Enter, arrows; where the focus is must be seen each time."""

from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

MOST_STOPS = 120
# WCAG 2.2: 2.4.7 the focus shows, 2.4.11 what has it is not hidden by anything else.
FAULT = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return "nothing has the focus";
  const style = getComputedStyle(one), box = one.getBoundingClientRect();
  const rung = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2)
    || style.boxShadow !== "none";
  if (!rung) return "no ring: " + one.outerHTML.slice(0, 120);
  const high = Math.min(box.bottom, innerHeight) - Math.max(box.top, 0);
  if (high < Math.min(box.height, innerHeight / 2) - 1)
    return "outside of the screen: " + one.outerHTML.slice(0, 120);
  const x = box.left + Math.min(box.width, innerWidth) / 2;
  const y = Math.max(box.top, 0) + high / 2;
  const seen = document.elementFromPoint(x, y);
  const own = seen && (one.contains(seen) || seen.contains(one) && seen.closest("main, header"));
  return own ? "" : "covered: " + one.outerHTML.slice(0, 120);
}"""


@dataclass(frozen=True)
class Keyboard:
    """One person who uses no mouse and no finger."""

    page: Page

    def to(self, wanted: Locator) -> None:
        """Press Tab until something has the focus; see each stop on the way."""
        expect(wanted).to_be_visible()
        # An address that ends in "#part" takes the focus away once more when all of it is there.
        self.page.wait_for_load_state("load")
        for _ in range(MOST_STOPS):
            self.press("Tab")
            if wanted.evaluate("(one) => one === document.activeElement"):
                return
        raise AssertionError(f"no stop of the keyboard: {wanted}")

    def press(self, key: str) -> None:
        """Press a key, and see where the focus is then."""
        self.page.keyboard.press(key)
        fault = self.page.evaluate(FAULT)
        assert not fault, f"{self.page.url}: {fault}"

    def write(self, wanted: Locator, words: str) -> None:
        """Go to a field and type."""
        self.to(wanted)
        self.page.keyboard.type(words)
        expect(wanted).to_have_value(words)

    def tick(self, wanted: Locator) -> None:
        """Go to a box and tick it."""
        self.to(wanted)
        self.press("Space")
        expect(wanted).to_be_checked()

    def choose_next(self, wanted: Locator, value: str) -> None:
        """Go to a list of choices and take the one after the first."""
        self.to(wanted)
        self.press("ArrowDown")
        expect(wanted).to_have_value(value)

    def enter(self, wanted: Locator) -> None:
        """Go to a link or a button and press Enter, which may lead elsewhere."""
        self.to(wanted)
        self.page.keyboard.press("Enter")
