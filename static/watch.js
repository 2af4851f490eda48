// The page to watch a trial on keeps itself fresh: countdowns from stamps; the parts that are only read as soon as something
// is entered, and every 15 s. Without this script it works by reloading.

const EVERY_MS = 15_000;
const clock = document.getElementById("clock");
// A page that answers a refused form stands at another address than the page it shows.
const address = clock?.dataset.from ?? location.pathname;
let offset = Number(clock?.dataset.now ?? Date.now()) - Date.now();

function span(ms) {
  const s = Math.max(0, Math.floor(ms / 1000));
  const two = (n) => String(n).padStart(2, "0");
  const [h, m] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

function paint() {
  const now = Date.now() + offset;
  for (const part of document.querySelectorAll("[data-due]")) {
    const left = Number(part.dataset.due) - now;
    const late = left < 0;
    part.querySelector(".figure").textContent = span(Math.abs(left));
    if (late) {
      part.classList.add("late");
      part.querySelector(".label").textContent = part.dataset.late ?? "water reading late by";
    }
  }
}

// A part is left alone while somebody is in it.
function busy(part) {
  return part.contains(document.activeElement) && document.activeElement !== document.body;
}

// An older answer that comes late never goes over a newer one.
let [askedFor, onScreen] = [0, 0];

async function refresh() {
  const n = ++askedFor;
  let text;
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" }, cache: "no-store" });
    if (!answer.ok) return;
    if (answer.redirected && !answer.url.endsWith(address)) return;
    text = await answer.text();
  } catch {
    return;
  }
  if (n < onScreen) return;
  onScreen = n;
  const stopped = document.querySelector(".stop-screen") !== null;
  const fresh = new DOMParser().parseFromString(text, "text/html");
  for (const part of document.querySelectorAll("[data-live]")) {
    const newer = fresh.querySelector(`[data-live="${part.dataset.live}"]`);
    if (newer && !busy(part) && part.outerHTML !== newer.outerHTML) {
      part.replaceWith(document.adoptNode(newer));
    }
  }
  // A new stop takes the screen, wherever the hand had scrolled to.
  if (!stopped && document.querySelector(".stop-screen")) scrollTo(0, 0);
  const stamp = fresh.getElementById("clock");
  if (stamp) offset = Number(stamp.dataset.now) - Date.now();
  paint();
}

if (clock.dataset.trial) new EventSource(`/trials/${clock.dataset.trial}/follow`).addEventListener("entry", refresh);
setInterval(paint, 500);
setInterval(refresh, EVERY_MS);
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) {
    paint();
    refresh();
  }
});
paint();
