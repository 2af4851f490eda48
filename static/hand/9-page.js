// The page itself: what it shows of the trial, kept fresh; what is on this phone; who else is at it.

const LOST_MS = 30_000;
const EVERY_MS = 15_000;
const SOON_MS = 1500;

const from = $("clock");
const trial = Number(from.dataset.trial);
// A page that answers a refused form stands at another address than the page it shows.
const address = from.dataset.from;
const zone_ms = Number(from.dataset.zone);
let known = JSON.parse(from.dataset.known);
const clock = reckonClock(() => Date.now(), () => performance.now());
const page = freshKey().slice(0, 12);
let heardAt = known.now_ms;
let lost = false;
let mustComeIn = false;
let told = { phones: [], name: "", in_hand: "" };
let waiting = [];
let saved = [];
const seenSince = new Map();

const store = await openStore();
const device = await store.device();
if (from.dataset.kept) {
  // The page came out of the phone's own store: its clock is the one that was last told, less sure.
  clock.told(Date.now() + (await store.offset()) - 2000, performance.now() - 4000, performance.now());
} else {
  const opened = performance.getEntriesByType("navigation")[0];
  clock.told(known.now_ms, opened?.requestStart ?? 0, opened?.responseStart ?? performance.now());
}
const alarm = makeAlarm($("sound"), $("arm"));
const outbox = makeOutbox(store, trial, changed, reached);

function reached(good, door) {
  mustComeIn = door;
  lost = !good && !door;
  if (good) heardAt = clock.now().at;
}

/** What is still on its way from this phone; what was refused stays until it was read. */
const underWay = () => waiting.filter((i) => !i.refused);
const entriesWait = () => underWay().length > 0;

/** After every change of the outbox: the list, what is still to be judged, and the pages that only read. */
async function changed(stored) {
  waiting = await outbox.mine();
  if (stored) {
    saved = [...saved.slice(-2), stored];
    // Seen until the page that is asked for now is there, and says so itself.
    if (stored.what === "acknowledges") seenSince.set(stored.rule, order.next());
    refresh();
    touch();
  }
  list();
  paint();
  picturesYield();
}

/** The entries on this phone in pencil, and the last ones that became ink. */
function list() {
  const rows = [...saved.map((i) => [i, "saved"]), ...waiting.map((i) => [i, i.refused ? "refused" : store.kept ? "on this phone" : "on this page only"])];
  $("pencil").replaceChildren(...rows.slice(-6).map(([item, state]) => {
    const row = el("li", "", { class: state === "saved" ? "ink" : "pencil-mark" });
    row.append(el("span", hour(item.at_ms, zone_ms)), el("strong", item.words), el("em", state));
    if (item.refused) {
      row.append(el("p", `Not taken: ${item.refused}`, { class: "says" }));
      const away = el("button", "I have read it: take it off this phone", { type: "button", class: "key" });
      away.addEventListener("click", () => outbox.putAway(item.key));
      row.append(away);
    }
    return row;
  }));
}

/** In touch: what is still here is said, and the clock is told. */
async function touch(within = TIMEOUT_MS) {
  const t0 = performance.now();
  try {
    const body = JSON.stringify({ device, pending: waiting.length, last_n: await store.lastN(trial) });
    const answer = await fetch(`/trials/${trial}/phones`, { method: "POST", headers: { "content-type": "application/json", accept: "application/json" }, body, signal: AbortSignal.timeout(within) });
    reached(answer.ok || answer.status < 500, answer.status === 401);
    if (!answer.ok) return answer.status < 500;
    told = await answer.json();
    clock.told(told.now_ms, t0, performance.now());
    store.keepOffset(clock.offset());
    paint();
    if (entriesWait()) outbox.now();
    return true;
  } catch {
    reached(false, false);
    return false;
  }
}

const order = keepInOrder(refresh);

// A list is left alone while somebody types in it: its next item has the same box. The bands are not: a new one must be seen.
const busy = (part) => part.dataset.live !== "bands" && part.contains(document.activeElement) && typedIn(document.activeElement);

let turnedAt = 0;
/** Does the page say more of a part than an answer that was asked for then can: what is still on this phone? */
function isAhead(part, since) {
  if (part.dataset.live === "events") return turnedAt > since || underWay().some((i) => i.event);
  return part.open !== undefined && underWay().some((i) => i.check?.startsWith(`own-item-${part.dataset.live.slice(5)}-`));
}

async function refresh() {
  const n = order.ask();
  const since = performance.now();
  let text;
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" }, cache: "no-store", signal: AbortSignal.timeout(TIMEOUT_MS) });
    reached(answer.ok || answer.status < 500, answer.status === 401);
    if (!answer.ok) return;
    if (answer.redirected && !answer.url.endsWith(address)) {
      // The trial was closed elsewhere: the page stays while anything is still on this phone.
      if (waiting.length === 0) location.assign(answer.url);
      return;
    }
    text = await answer.text();
  } catch {
    reached(false, false);
    return;
  }
  if (!order.mayPut(n)) return;
  for (const [rule, from] of seenSince) if (n >= from) seenSince.delete(rule);
  const fresh = new DOMParser().parseFromString(text, "text/html");
  const stamp = fresh.getElementById("clock");
  if (!stamp) return;
  const stopped = document.querySelector(".stop-screen") !== null;
  for (const part of document.querySelectorAll("[data-live]")) {
    const newer = fresh.querySelector(`[data-live="${part.dataset.live}"]`);
    if (newer && !isAhead(part, since) && !busy(part) && part.outerHTML !== newer.outerHTML) putIn(part, newer);
  }
  known = JSON.parse(stamp.dataset.known);
  // Lit again, by whichever hand.
  if (known.fire_lit && !waiting.some((i) => i.event === "fire-out")) $("fire-steps").hidden = true;
  const here = fresh.getElementById("water-here");
  const unread = waiting.some((i) => i.reading?.level_mm !== undefined);
  if (here && $("water-here") && !unread) $("water-here").dataset.last = here.dataset.last;
  glass?.drawn(!unread);
  // A new stop takes the screen, wherever the hand had scrolled to.
  if (!stopped && document.querySelector(".stop-screen")) scrollTo(0, 0);
  paint();
}

const stamp = () => {
  const { at, u } = clock.now();
  return { at_ms: at, u_ms: u, wall_ms: Date.now(), mono_ms: Math.round(performance.now()), offset_ms: clock.offset(), jumped: clock.jumped() };
};

/** The movements of putting the fire out, wherever the hand had scrolled to. */
function showFireSteps() {
  const steps = $("fire-steps");
  steps.hidden = false;
  steps.scrollIntoView({ block: "center" });
}

const { enter, once } = takeForms({
  trial,
  stamp,
  known: () => known,
  async keep(item, data) {
    for (const key of ["at_ms", "u_ms", "wall_ms", "mono_ms", "offset_ms"]) data.set(key, String(item[key]));
    data.set("device", device);
    data.set("device_page", page);
    if (item.jumped) data.set("jumped", "yes");
    await outbox.add({ ...item, body: new URLSearchParams(data).toString() });
  },
  entered(item, form) {
    if (item.reading?.level_mm !== undefined) glass?.entered(String(item.reading.level_mm));
    if (item.event === "fire-out") showFireSteps();
    if (item.event === "fire-lit") $("fire-steps").hidden = true;
    if (item.event) {
      turnedAt = performance.now();
      turn(item.event);
    }
    if (item.check) stepOn(form, item.words.replace(/^item \d+, /, ""));
    pad?.paint();
  },
});
const form = document.querySelector("form.entry");
const glass = $("water-here") && makeGlass($("water-here"), (mm) => {
  const data = new FormData();
  for (const [name, value] of [["what", "reading"], ["page", form.elements.page.value], ["level_mm", mm]]) data.set(name, value);
  once(`water ${mm}`, mm, () => enter(form, data));
});
const pad = form.querySelector(".keypad") && makeKeypad(form);

/** What the phone found by itself, where the server's word is old: the gravest takes the screen. */
function ownWord(now) {
  const alone = lost || now - heardAt > LOST_MS;
  // With a link the server's word is there in a moment.
  const unjudged = underWay().filter((i) => (alone || now - i.at_ms > SOON_MS));
  if (!alone && unjudged.length === 0) return { found: [], next: null };
  const word = judge(known, unjudged, now);
  const by_server = new Set(known.stands.map((f) => `${f.rule} ${f.severity}`));
  return { ...word, found: word.found.filter((f) => !by_server.has(`${f.rule} ${f.severity}`)), alone };
}

/** What to do, one movement a step: *fire out* becomes the movements of this plant's fuel. */
function stepsOf(words) {
  const sentences = words.todo.split(/(?<=\.) /);
  const fire = sentences.some((s) => /^Fire out/.test(s));
  return [...(fire ? [known.steps.join(" ")] : []), ...sentences.filter((s) => !/^Fire out( now)?\.$/.test(s))];
}

function band(kind, head, ...lines) {
  const made = el("section", "", { class: `flagband ${kind}` });
  made.append(el("h2", head), ...lines.map((line) => el("p", line)));
  return made;
}

const seenHere = new Set();
let ownShown = {};
function showOwn(word) {
  if (order.pressing()) return ownShown;
  // What is over is not seen any more: when it comes again it is a new alarm.
  for (const rule of seenHere) if (!word.found.some((f) => f.rule === rule)) seenHere.delete(rule);
  const stop = word.found.find((f) => f.severity === "stop" && !seenHere.has(f.rule));
  const screen = $("own-stop");
  screen.hidden = !stop;
  screen.classList.toggle("stop-screen", Boolean(stop));
  if (stop && screen.dataset.rule !== stop.rule) {
    const words = known.words.find((w) => w.rule === stop.rule);
    screen.dataset.rule = stop.rule;
    screen.querySelector(".first").textContent = words.first;
    screen.querySelector(".second").textContent = words.second;
    screen.querySelector("h2").className = words.huge ? "" : "words";
    screen.querySelector(".own-steps").replaceChildren(...stepsOf(words).map((s) => el("li", s)));
    scrollTo(0, 0);
  }
  screen.querySelector(".why").textContent = stop?.says ?? "";
  if (!stop) delete screen.dataset.rule;
  const rest = word.found.filter((f) => f !== stop);
  $("own-bands").replaceChildren(...rest.map((f) => {
    const words = known.words.find((w) => w.rule === f.rule);
    return band(`own ${f.severity}`, `${f.severity}: ${words.about}`, `${f.says} ${words.todo}`, "Found by this phone.");
  }));
  ownShown = { stop, caution: rest.find((f) => f.severity === "caution") };
  return ownShown;
}

$("own-seen").addEventListener("click", () => {
  const rule = $("own-stop").dataset.rule;
  seenHere.add(rule);
  const data = new FormData();
  for (const [name, value] of [["what", "event"], ["event", "note"], ["note", `stop found by the phone, seen: ${rule.replaceAll("-", " ")}`]]) data.set(name, value);
  enter(form, data);
});
for (const tab of document.querySelectorAll("[data-mode-to]")) {
  tab.addEventListener("click", () => {
    document.body.dataset.mode = tab.dataset.modeTo;
    for (const one of document.querySelectorAll("[data-mode-to]")) one.setAttribute("aria-pressed", String(one === tab));
  });
}

/** The line about the link: since when it is gone, and what is not judged meanwhile. */
function linkLine(now, alone) {
  const count = waiting.length;
  const entries = `${count} ${count === 1 ? "entry" : "entries"}`;
  const parts = [];
  if (mustComeIn) parts.push("You have to come in again before anything is sent: open the page of the door in another tab.");
  if (alone) parts.push(`No link since ${hour(heardAt, zone_ms).slice(0, 5)}. The phone still judges water, pressure and lateness; the rest waits.`);
  if (count > 0) parts.push(`${entries} ${store.kept ? "on this phone, in pencil" : "on this page only"}. Do not reload or close it.`);
  if (!store.kept) parts.push("This phone cannot hold readings: what is not saved is gone when the page is closed.");
  if (clock.jumped()) parts.push("This phone's clock was set meanwhile; times are taken from the workshop's.");
  for (const other of told.phones.filter((p) => p.device !== device && p.pending > 0 && !p.given_up)) {
    parts.push(`${other.name} (${other.who}) still holds ${other.pending}, last seen ${other.seen}.`);
  }
  $("link").textContent = parts.join(" ");
  $("link").hidden = parts.length === 0;
}

let late_by = 0;
/** Has the water just become late, or twice as late? The server says what that means, without waiting for the next round. */
function isLater(now) {
  const last = Math.max(known.waters.at(-1)?.at_ms ?? 0, known.hot_ms ?? 0);
  const times = known.hot && last > 0 ? Math.min(2, Math.floor((now - last) / (known.every_s * 1000))) : 0;
  const later = times > late_by;
  late_by = times;
  return later;
}

/** A stop that was seen gives the screen back at once, and stands as a band until the PC has heard of it. */
function seenOnItsWay(rules) {
  const screen = document.querySelector("[data-live=stop] .stop-screen");
  const seen = Boolean(screen) && rules.has(screen.querySelector("input[name=rule]")?.value);
  screen?.classList.toggle("seen-here", seen);
  document.querySelector(".on-its-way")?.remove();
  if (!seen) return;
  const [head, why] = ["h2", ".why"].map((part) => screen.querySelector(part).textContent);
  $("own-bands").append(band("stop seen on-its-way", `stop: ${head}`, why, "Seen; that is still on this phone."));
}

function paint() {
  const now = clock.now().at;
  const word = ownWord(now);
  const alone = Boolean(word.alone);
  let look = { due: 0, louder: 0 };
  for (const part of document.querySelectorAll("[data-due]")) {
    const own = alone && word.next && part.dataset.late === undefined;
    const due = own ? word.next : Number(part.dataset.due);
    const late = due < now;
    part.querySelector(".figure").textContent = span(Math.abs(due - now));
    part.classList.toggle("late", late || part.dataset.again === "yes");
    if (late) part.querySelector(".label").textContent = part.dataset.late ?? "water reading late by";
    if (part.dataset.louder) look = { due, louder: own ? word.louder : Number(part.dataset.louder) };
    part.classList.toggle("very-late", Boolean(part.dataset.louder) && callFor(look.due, look.louder, now) === 2);
  }
  if (isLater(now)) refresh();
  linkLine(now, alone);
  const own = showOwn(word);
  const seenWaiting = new Set([...underWay().filter((i) => i.what === "acknowledges").map((i) => i.rule), ...seenSince.keys()]);
  seenOnItsWay(seenWaiting);
  const standing = known.stands.filter((f) => !f.seen && !seenWaiting.has(f.rule));
  const stop = own.stop?.rule ?? standing.find((f) => f.severity === "stop")?.rule;
  alarm.sounds(stop, own.caution?.rule ?? standing.find((f) => f.severity === "caution")?.rule);
  alarm.calls(look.due, look.louder, now, stop);
  alarm.alone(lost && now - heardAt > LOST_MS);
  const hand = $("in-hand");
  if (hand) {
    const others = told.in_hand && told.in_hand !== known.by;
    hand.querySelector(".who").textContent = told.in_hand ? `In hand: ${told.in_hand}${told.name ? `; this is ${told.name}` : ""}.` : "";
    hand.querySelector("form").hidden = !others;
    hand.querySelector("[name=note]").value = `${told.name} (${known.by}) takes over from ${told.in_hand}`;
  }
  const missing = alarm.missing();
  $("senses").textContent = missing.length ? `This phone: ${missing.join(", ")}. Look at the screen.` : "";
}

document.body.classList.add("with-script");
document.body.dataset.mode = $("water-here") && matchMedia("(max-width: 699px)").matches ? "water" : "figures";
for (const one of document.querySelectorAll("[data-mode-to]")) one.setAttribute("aria-pressed", String(one.dataset.modeTo === document.body.dataset.mode));
setInterval(paint, 500);
setInterval(() => {
  refresh();
  touch();
}, EVERY_MS);
const live = new EventSource(`/trials/${trial}/follow`);
live.addEventListener("entry", () => refresh());
live.addEventListener("open", () => outbox.now());
addEventListener("online", () => outbox.now());
document.addEventListener("visibilitychange", () => {
  if (document.hidden) {
    clock.slept();
    return;
  }
  alarm.wakes();
  paint();
  outbox.now();
  touch();
  refresh();
});
addEventListener("pageshow", paint);
addEventListener("beforeunload", (event) => {
  if (waiting.length > 0) event.preventDefault();
});
await changed(null);
outbox.flush();
touch();
