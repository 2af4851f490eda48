// From a press to an entry: the form as it stands is what is sent, with the moment and the phone beside it.

const FACTS = ["reading", "event", "acknowledges", "takeover", "item"];
const GUARD_MS = 400;

/** The faults of a form's figures, each beside its box; nothing is kept until they are mended. */
function faultsOf(form, data, bounds) {
  let first = null;
  for (const box of form.querySelectorAll("input[data-figure]")) {
    const row = box.closest(".typed");
    row.classList.remove("fault");
    row.querySelector(".says")?.remove();
    const typed = data.get(box.name)?.trim();
    if (!typed) continue;
    const read = decimal(typed, box.dataset.figure === "signed");
    const over = bounds.find((b) => b.key === box.name && Number(read.figure) > b.most);
    if (read.says || over) {
      row.classList.add("fault");
      row.append(el("p", read.says ?? over.says, { class: "says", role: "alert" }));
      first ??= box;
    }
  }
  first?.focus();
  return first !== null;
}

/** Has the hand to say that a figure is so? The value is kept as typed then, never changed. */
function isDoubted(form, data, most) {
  const typed = Number((data.get("pressure_bar") ?? "").replace(",", "."));
  const old = form.querySelector(".doubt");
  if (!(typed > most) || (old && old.dataset.of === String(typed))) return false;
  old?.remove();
  const ask = el("p", "", { class: "doubt", role: "alert" });
  ask.dataset.of = String(typed);
  ask.append(el("strong", `${typed} bar? Hardly any gauge here goes beyond ${most}. `), el("span", "Press Save once more to keep it as typed, or type it again."));
  form.querySelector(".open-boxes")?.after(ask);
  return true;
}

/** What an entry says, for the phone's own judging and to be compared with the answer. */
function readingOf(data) {
  const reading = {};
  for (const box of document.querySelectorAll(".entry input[data-figure]")) {
    const typed = data.get(box.name)?.trim();
    if (typed) reading[box.name] = Number(decimal(typed, true).figure);
  }
  if (data.get("level_seen") && reading.level_mm === undefined) reading.level_seen = data.get("level_seen");
  return reading;
}

/** What the key of an event turns into once it was pressed, until the server's page is there. */
const TURNS = {
  "feed-on": ["feed-off", "Feed off"], "feed-off": ["feed-on", "Feed on"],
  "engine-running": ["engine-stopped", "Engine stopped"], "engine-stopped": ["engine-running", "Engine running"],
  "safety-valve-lifted": ["safety-valve-reseated", "Valve shut again"], "safety-valve-reseated": ["safety-valve-lifted", "Valve lifted"],
};

function turn(event) {
  const key = document.querySelector(`[data-live=events] button[value="${event}"]`);
  if (key && TURNS[event]) [key.value, key.textContent] = TURNS[event];
}

/** An event in a few words, with what was typed beside it. */
function eventInWords(data) {
  if (data.get("event") === "note") return data.get("note");
  const more = [data.get("which"), data.get("what_was"), data.get("where")].map((words) => words?.trim());
  for (const [name, unit] of [["amount_ml", "ml"], ["growth_pct", "%"]]) {
    if (data.get(name)?.trim()) more.push(`${decimal(data.get(name), true).figure} ${unit}${data.get("to") ? ` to the ${data.get("to")}` : ""}`);
  }
  return [(data.get("event") ?? "").replaceAll("-", " "), ...more.filter(Boolean)].join(", ");
}

/** What was kept does not stand in its box any more, or it would be kept twice; what was typed meanwhile does. */
function emptied(form, data) {
  for (const box of form.querySelectorAll("input:not([type=hidden]), select, textarea")) {
    if (box.type === "radio" || box.type === "checkbox") box.checked = box.defaultChecked;
    else if (box.tagName === "SELECT") box.selectedIndex = Math.max(0, [...box.options].findIndex((o) => o.defaultSelected));
    else if (box.value === data.get(box.name)) box.value = box.defaultValue;
  }
}

/** Says beside the key why nothing was kept. */
function notKept(form, words) {
  form.querySelector(".not-kept")?.remove();
  const key = form.querySelector("button.save") ?? form.querySelector("button");
  key.before(el("p", words, { class: "says not-kept", role: "alert" }));
}

/** In a few words, for the list of what is still on this phone: figures as they were typed. */
function inWords(what, data, reading) {
  if (what === "event") return eventInWords(data);
  if (what === "acknowledges") return `seen: ${(data.get("rule") ?? "").replaceAll("-", " ")}`;
  if (what === "takeover") return "takes over";
  if (what === "item") return `item ${data.get("n")}, ${data.get("way") === "skip" ? `skipped: ${data.get("reason")}` : (data.get("saw") ?? "done")}`;
  const units = { pressure_bar: "bar", level_mm: "mm", co_ppm: "ppm CO" };
  const figure = (key) => `${decimal(data.get(key), true).figure} ${units[key] ?? key.replaceAll("_", " ")}`;
  return Object.entries(reading).map(([key, v]) => (key === "level_seen" ? `water ${v}` : figure(key))).join(", ");
}

/**
 * Takes over the forms of the page that enter facts. `keep` puts an item into the outbox; `stamp` gives the moment; `known`
 * is what the server handed over; `entered` is told what was kept.
 */
function takeForms({ trial, stamp, known, keep, entered }) {
  const pressed = new Map();
  async function enter(form, data, submitted = false) {
    const what = data.get("what");
    if (faultsOf(form, data, known().bounds) || (what === "reading" && isDoubted(form, data, known().most_bar))) return;
    const reading = what === "reading" ? readingOf(data) : null;
    if (reading && Object.keys(reading).length === 0) {
      notKept(form, "Nothing was typed, nothing is kept: type a figure, or press ABOVE or BELOW.");
      form.querySelector(".open-boxes input")?.focus();
      return;
    }
    if (what === "event" && data.get("event") === "note" && !data.get("note")?.trim()) return notKept(form, "A note without words: write it first.");
    if (what === "item" && isWanting(form, data)) return;
    const check = what === "item" ? `own-item-${data.get("list")}-${data.get("n")}` : null;
    const item = { key: freshKey(), trial, what, reading, check, event: what === "event" ? data.get("event") : null, rule: data.get("rule"), words: inWords(what, data, reading), ...stamp() };
    data.set("key", item.key);
    data.set("sure", "yes");
    await keep(item, data);
    for (const said of form.querySelectorAll(".doubt, .not-kept")) said.remove();
    if (submitted && (what === "reading" || what === "event")) emptied(form, data);
    entered(item, form);
  }
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.action.endsWith(`/trials/${trial}/entries`)) return;
    const data = new FormData(form, event.submitter);
    if (!FACTS.includes(data.get("what"))) return;
    event.preventDefault();
    // One press is one entry: a wet thumb presses twice, and by then another key can stand in that place.
    const fire_out = data.get("event") === "fire-out";
    const place = fire_out ? "fire out" : (form.closest("[data-live]")?.dataset.live ?? event.submitter ?? form);
    const says = JSON.stringify([...data].filter(([name]) => name !== "key"));
    once(place, says, () => enter(form, data, true));
  });
  /** One entry a press: the same once more, while the phone's store takes its time, is a bounce; something else is not. */
  async function once(place, says, act) {
    const before = pressed.get(place);
    if (before && (performance.now() - before.at < GUARD_MS || before.keeping === says)) return;
    const press = { at: performance.now(), keeping: says };
    pressed.set(place, press);
    await act().finally(() => (press.keeping = null));
  }
  return { enter, once };
}
