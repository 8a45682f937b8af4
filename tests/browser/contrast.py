"""The contrast of every text on a page, judged by axe once for all texts that are alike."""

from collections.abc import Iterator

from playwright.sync_api import Page

# Alike are texts of the same element, with the same styles of it and of all that it lies in, and
# pictures that stand before and after. Where axe lets the first of them pass, it would let all
# pass; where it cannot tell, or does not look (disabled, a single letter), it is asked about each
# of the others. What is drawn, or lies over other things, is like nothing else.
RUN = """async () => {
  const ids = new Map(), kinds = new Map();
  const id = (key) => ids.get(key) ?? ids.set(key, ids.size).get(key);
  const looks = (style) => [style.backgroundColor, style.backgroundImage, style.opacity,
    style.content, style.filter, style.boxShadow].join();
  const kind = (one) => kinds.get(one) ?? kinds.set(one, id(told(one))).get(one);
  const told = (one) => {
    const style = getComputedStyle(one);
    const alone = one instanceof SVGElement || !["static", "relative"].includes(style.position);
    return [alone ? kinds.size : "", one.tagName, one.type, one.className, one.matches(":disabled"),
      style.color, style.fontSize, style.fontWeight, style.textShadow, looks(style),
      looks(getComputedStyle(one, "::before")), looks(getComputedStyle(one, "::after")),
      one.parentElement ? kind(one.parentElement) : ""].join("|");
  };
  const groups = new Map();
  const speaks = (one) => one.checkVisibility({visibilityProperty: true})
    && (one.matches("input, select, textarea, button") || [...one.childNodes].some(words));
  const words = (part) => part.nodeType === Node.TEXT_NODE && part.data.trim();
  for (const one of [...document.querySelectorAll("body, body *")].filter(speaks))
    groups.set(kind(one), [...(groups.get(kind(one)) ?? []), one]);
  const ask = (include) => axe.run({include},
    {runOnly: {type: "rule", values: ["color-contrast"]}, elementRef: true});
  const all = [...groups.values()];
  const first = await ask(all.map((group) => group[0]));
  const passed = new Set(first.passes.flatMap((rule) => rule.nodes.map((node) => node.element)));
  const left = all.filter((group) => !passed.has(group[0])).flatMap((group) => group.slice(1));
  const found = [first, ...(left.length ? [await ask(left)] : [])];
  const nodes = found.flatMap((one) => one.violations.flatMap((rule) => rule.nodes));
  return [...new Set(nodes.map((node) => node.target.join(" ")))];
}"""


def poor_contrast(page: Page) -> Iterator[str]:
    """Give the selector of each text that is hard to read; axe is loaded in the page."""
    yield from page.evaluate(RUN)
