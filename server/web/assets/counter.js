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
  speak(place.querySelector("[data-says]")?.dataset.says ?? "");
}

async function ask() {
  clearTimeout(waiting);
  running?.abort();
  running = new AbortController();
  const mine = ++asked;
  const words = question();
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
    const answer = await fetch(`/answer?${words}`, { signal: running.signal });
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
const others = () => [...place.querySelectorAll(".hit, .miss .tries a, .facts .rival")];

// Enter takes the first of what was found; what was read is there already.
async function take() {
  await ask();
  const first = place.querySelector(".miss .tries a, .hit");
  if (first && gone.hidden) location.assign(first.href);
}

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(ask, pause);
}

field.addEventListener("input", soon);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  take();
});

// Down goes from the field through what else it may be, and Up back. Keys typed anywhere belong to the field;
// Escape empties it.
document.addEventListener("keydown", (event) => {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  const at = others().indexOf(event.target);
  if (step && (event.target === field || at >= 0)) {
    event.preventDefault();
    (others()[at + step] ?? field).focus();
    return;
  }
  const busy = event.target.closest?.("input, select, textarea, button, a, summary");
  if (event.key === "Escape" && (!busy || busy === field)) {
    field.value = "";
    field.focus();
    soon();
  } else if (!busy && event.key.length === 1 && event.key !== " " && !event.ctrlKey && !event.metaKey && !event.altKey) {
    field.focus();
  }
});

// What was typed while the page still loaded counts too.
if (field.value !== field.defaultValue) ask();
