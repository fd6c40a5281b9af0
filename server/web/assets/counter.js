// The answer follows the keys. Without this script the form asks for the whole page.
//
// Each key asks for the answer as HTML and puts it in; a newer question ends the older one,
// and an answer that comes late is dropped. The address always reopens what is shown.

const form = document.getElementById("counter");
const field = document.getElementById("q");
const place = document.getElementById("answer");
const gone = document.getElementById("gone");
const working = document.getElementById("working");
const gauges = document.getElementById("gauges");
const spoken = [...document.querySelectorAll(".spoken")];

const loopback = ["localhost", "127.0.0.1", "[::1]"].includes(location.hostname);
const pause = loopback ? 0 : 80;
const opened = new URLSearchParams(location.search);
const units = opened.get("units");
const language = opened.get("language");
const wishes = opened.getAll("wish");
const asOpened = opened.get("q")?.trim();

let asked = 0;
let waiting = 0;
let speaking = 0;
let running = null;
let slow = 0;
let chosen = null;

// Longer than this a person wonders whether anything happens, ms.
const patience = 400;

// What is asked, in the one order that addresses have. A reading belongs to one text only.
function question() {
  const words = new URLSearchParams();
  const text = field.value.replace(/\p{Cc}/gu, "").trim();
  if (text) words.append("q", text);
  for (const gauge of form.querySelectorAll("[name=gauge]")) words.append("gauge", gauge.value);
  // Wishes are about the piece that was read: another text has none.
  if (text === asOpened) for (const wish of wishes) words.append("wish", wish);
  if (units) words.append("units", units);
  if (language) words.append("language", language);
  return words.toString();
}

// What the page of gauges is asked: it knows no wishes.
function forGauges(words) {
  const kept = new URLSearchParams(words);
  kept.delete("wish");
  return kept;
}

// Two regions in turn, so that the same words twice are spoken twice.
function speak(says) {
  clearTimeout(speaking);
  speaking = setTimeout(() => {
    spoken.reverse();
    spoken[1].textContent = "";
    spoken[0].textContent = says;
  }, 600);
}

function show(html) {
  const made = document.createElement("template");
  made.innerHTML = html;
  place.replaceChildren(made.content);
  offer();
  speak(place.querySelector("[data-says]")?.dataset.says ?? "");
}

async function ask() {
  clearTimeout(waiting);
  running?.abort();
  running = new AbortController();
  const mine = ++asked;
  const words = question();
  // First the question: what follows takes as long as a good answer.
  const coming = fetch(`/answer?${words}`, { signal: running.signal });
  history.replaceState(null, "", words ? `/?${words}` : "/");
  gauges.href = `/gauge?${forGauges(words)}`;
  for (const link of document.querySelectorAll("a[hreflang]")) {
    const elsewhere = new URLSearchParams(words);
    elsewhere.set("language", link.hreflang);
    link.search = elsewhere.toString();
  }
  place.setAttribute("aria-busy", "true");
  clearTimeout(slow);
  slow = setTimeout(() => { working.hidden = false; }, patience);
  try {
    const answer = await coming;
    const html = await answer.text();
    if (mine !== asked) return;
    gone.hidden = true;
    show(html);
  } catch (fault) {
    if (fault.name === "AbortError" || mine !== asked) return;
    gone.hidden = false;
    waiting = setTimeout(ask, 2000);
  }
  clearTimeout(slow);
  working.hidden = true;
  place.removeAttribute("aria-busy");
}

// What else the marking may be: what was found, or other readings of what was read.
const others = () => [...place.querySelectorAll(".hit, .rival")];

// Field and list are an editable combobox with list autocomplete (WAI-ARIA Authoring Practices Guide): the
// focus stays in the field, and the choice is told by its id. Without this script the list is links.
function offer() {
  choose(null);
  const list = place.querySelector(".results, .rivals");
  field.setAttribute("aria-expanded", String(Boolean(list)));
  if (!list) return field.removeAttribute("aria-controls");
  list.id = "choices";
  list.role = "listbox";
  list.ariaLabel = field.dataset.choices;
  field.setAttribute("aria-controls", list.id);
  for (const row of list.querySelectorAll("li")) row.role = "none";
  others().forEach((one, at) => {
    one.id = `choice${at}`;
    one.role = "option";
    one.tabIndex = -1;
    one.ariaSelected = "false";
  });
}

function choose(one) {
  if (chosen) chosen.ariaSelected = "false";
  chosen = one;
  if (!one) return field.removeAttribute("aria-activedescendant");
  one.ariaSelected = "true";
  field.setAttribute("aria-activedescendant", one.id);
  one.scrollIntoView({ block: "nearest" });
}

// One on, from the last to the first, and from the field to either end.
function step(by) {
  const all = others();
  const at = all.indexOf(chosen);
  choose(all.at(at < 0 ? Math.min(by, 0) || by - 1 : (at + by) % all.length) ?? null);
}

// Enter takes the first of what was found; what was read is there already.
async function take() {
  await ask();
  const first = place.querySelector(".hit");
  if (first && gone.hidden) location.assign(first.href);
}

function soon() {
  clearTimeout(waiting);
  if (pause) waiting = setTimeout(ask, pause);
  else ask();
}

field.addEventListener("input", soon);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  take();
});

// Any key that edits or moves within the field leaves the list.
field.addEventListener("keydown", (event) => {
  if (event.isComposing || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (by) {
    event.preventDefault();
    step(by);
  } else if (chosen && event.key === "Enter") {
    event.preventDefault();
    location.assign(chosen.href);
  } else if (chosen && event.key === "Escape") {
    event.stopPropagation();
    choose(null);
  } else if (!["Shift", "Tab"].includes(event.key)) {
    choose(null);
  }
});

// Keys typed anywhere belong to the field; Escape empties it.
document.addEventListener("keydown", (event) => {
  const busy = event.target.closest?.("input, select, textarea, button, a, summary");
  if (event.key === "Escape" && (!busy || busy === field)) {
    field.value = "";
    field.focus();
    soon();
  } else if (!busy && event.key.length === 1 && event.key !== " " && !event.ctrlKey && !event.metaKey && !event.altKey) {
    field.focus();
  }
});

field.role = "combobox";
field.setAttribute("aria-autocomplete", "list");
offer();

// What was typed while the page still loaded counts too.
if (field.value !== field.defaultValue) ask();
