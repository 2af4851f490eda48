// The page to watch a trial on keeps itself fresh: countdowns from stamps; the parts that are only read as soon as something
// is entered, and every 15 s. Without this script it works by reloading.

const EVERY_MS = 15_000;
const clock = document.getElementById("clock");
// A page that answers a refused form stands at another address than the page it shows.
const address = clock?.dataset.from ?? location.pathname;
let offset = Number(clock?.dataset.now ?? Date.now()) - Date.now();

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

const order = keepInOrder(refresh);

async function refresh() {
  const n = order.ask();
  let text;
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" }, cache: "no-store" });
    if (!answer.ok) return;
    if (answer.redirected && !answer.url.endsWith(address)) return;
    text = await answer.text();
  } catch {
    return;
  }
  if (!order.mayPut(n)) return;
  const stopped = document.querySelector(".stop-screen") !== null;
  const fresh = new DOMParser().parseFromString(text, "text/html");
  for (const part of document.querySelectorAll("[data-live]")) {
    const newer = fresh.querySelector(`[data-live="${part.dataset.live}"]`);
    if (newer && part.outerHTML !== newer.outerHTML) putIn(part, newer);
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
