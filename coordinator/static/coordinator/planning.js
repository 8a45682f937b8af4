// How far the planning is, in place: a small part of the page is asked for while it goes on, the
// focus and what is held stay. Without this file the page itself comes anew every three seconds.
"use strict";
{
  const STEP_MS = 1500, LONGEST_MS = 20000, SAY_MS = 10000;
  const by = (id, where) => (where || document).getElementById(id);
  let wait = STEP_MS, told = "", toldAt = 0;

  async function read(address) {
    const answer = await fetch(address);
    if (!answer.ok || answer.redirected) throw new Error(answer.statusText);
    return new DOMParser().parseFromString(await answer.text(), "text/html");
  }

  // Few words, and not each second: a reader is not talked over.
  function say(words) {
    if (!words || words === told || Date.now() - toldAt < SAY_MS) return;
    by("planning-said").textContent = told = words;
    toldAt = Date.now();
  }

  // Gives whether to look again.
  async function look() {
    const box = by("planning");
    if (!box || document.hidden) return Boolean(box);
    const drawn = by("found");
    const page = await read(`${box.dataset.live}?shown=${drawn ? drawn.dataset.value : ""}`);
    const figures = by("planning-figures", page);
    if (!by("planning")) return false;
    if (figures.dataset.open === "0" && !by("taken")) return end();
    by("planning-figures").replaceWith(figures);
    if (by("planning-stop")) by("planning-stop").hidden = figures.dataset.keep === "0";
    draw(by("found", page), drawn);
    const heading = figures.querySelector("[data-said]");
    if (heading) say(heading.dataset.said);
    return figures.dataset.open === "1";
  }

  function draw(found, drawn) {
    if (!found || (drawn && drawn.contains(document.activeElement))) return;
    const fold = drawn && drawn.querySelector("details");
    if (fold && found.querySelector("details")) found.querySelector("details").open = fold.open;
    if (drawn) drawn.replaceWith(found);
    else by("planning").after(found);
    if (by("drawn")) by("drawn").remove(); // one picture at a time
  }

  // The plan that came of it, in place of the page; nothing is held that this would drop.
  async function end() {
    const page = await read(location.href);
    const had = document.activeElement;
    const inside = by("content").contains(had);
    by("content").replaceWith(by("content", page));
    if (!inside) return false;
    const place = (had.id && by(had.id)) || by("content").querySelector("h1");
    if (!place.matches("a, button")) place.tabIndex = -1;
    place.focus({ preventScroll: true });
    return false;
  }

  function again() {
    setTimeout(async () => {
      try {
        const more = await look();
        wait = STEP_MS;
        if (more) again();
      } catch {
        wait = Math.min(2 * wait, LONGEST_MS);
        again();
      }
    }, wait);
  }

  again();
}
