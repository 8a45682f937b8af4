// The plan by hand with less waiting: a press on a name, a job or a crew picks it up, a press on a
// crew puts it there, Escape puts it back; a mouse may drag. All of it works without this file by
// links and forms; the server decides and this only shows its answer in place.
"use strict";

const said = document.createElement("p");
said.className = "visually-hidden";
said.setAttribute("role", "status");
document.body.append(said);
const LINK = 'a[href^="?take="]';
let busy = false;
let dragged = null;

const hands = () => document.getElementById("hands");
const inHands = (node, what) => node instanceof Element && hands() && hands().contains(node) && node.closest(what);

async function show(address, options) {
  if (busy) return;
  busy = true;
  hands().setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(address, options);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!page.getElementById("hands")) return location.assign(answer.redirected ? answer.url : location.href);
    document.getElementById("content").replaceWith(page.getElementById("content"));
    if (!options || answer.redirected) history.replaceState(null, "", answer.url);
    settle();
  } finally {
    busy = false;
    if (hands()) hands().removeAttribute("aria-busy");
  }
}

// Put the focus on what was moved or is held, on the reason of a refusal, and say it aloud.
function settle() {
  const at = hands().dataset.at || "";
  const refused = document.getElementById("refused");
  const place = refused || document.getElementById("taken") || document.getElementById(at) ||
    document.getElementById("undo") || hands().querySelector("h2");
  if (!place.matches("a, button")) place.tabIndex = -1;
  place.focus();
  const words = refused || document.querySelector("#content .messages") || document.querySelector("#taken p");
  said.textContent = words ? words.innerText : "";
}

function send(form, data) {
  show(form.action, { method: "POST", body: data }).catch(() => location.reload());
}

document.addEventListener("click", (event) => {
  const link = inHands(event.target, `${LINK}, #put-back`);
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  show(link.href).catch(() => location.assign(link.href));
});

document.addEventListener("submit", (event) => {
  const form = inHands(event.target, "form");
  if (!form) return;
  event.preventDefault();
  const data = new FormData(form);
  if (event.submitter && event.submitter.name) data.append(event.submitter.name, event.submitter.value);
  send(form, data);
});

document.addEventListener("keydown", (event) => {
  const back = document.getElementById("put-back");
  if (event.key === "Escape" && back) back.click();
});

// A person goes into a crew of the same stretch of work, a job into any crew.
const takes = (card) => card && dragged && (dragged[0] === "j" ||
  (dragged[0] === "p" && dragged.split(".")[1] === card.dataset.to.split(".")[1]));
const over = (event) => {
  const card = inHands(event.target, ".crew-card[data-to]");
  return takes(card) ? card : null;
};

document.addEventListener("dragstart", (event) => {
  const link = inHands(event.target, LINK);
  dragged = link ? link.id : null;
  if (!link) return;
  event.dataTransfer.setData("text/plain", link.innerText);
  event.dataTransfer.effectAllowed = "move";
  hands().querySelectorAll(".crew-card[data-to]").forEach((card) => card.classList.toggle("is-over", Boolean(takes(card))));
});

document.addEventListener("dragover", (event) => { if (over(event)) event.preventDefault(); });

document.addEventListener("dragend", () => {
  dragged = null;
  if (hands()) hands().querySelectorAll(".is-over").forEach((card) => card.classList.remove("is-over"));
});

document.addEventListener("drop", (event) => {
  const card = over(event);
  if (!card) return;
  event.preventDefault();
  const form = document.importNode(document.getElementById("drop").content, true).querySelector("form");
  const data = new FormData(form);
  data.set("take", dragged);
  data.set("to", card.dataset.to);
  send(form, data);
});
