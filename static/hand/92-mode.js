// What a browser gives only where it trusts the address: a stand-in for reloading without a link, and a screen that stays on.

const trusted = window.isSecureContext && "serviceWorker" in navigator;

if (trusted) {
  navigator.serviceWorker.register("/assets/stand-in.js", { scope: "/trials/" }).then(async () => {
    const { active } = await navigator.serviceWorker.ready;
    const parts = performance.getEntriesByType("resource").map((r) => r.name).filter((name) => name.includes("/assets/"));
    active.postMessage([location.href, ...new Set(parts)]);
  }).catch(() => {});
}

let screenLock = null;
async function keepAwake() {
  if (!("wakeLock" in navigator) || document.hidden || (screenLock && !screenLock.released)) return;
  screenLock = await navigator.wakeLock.request("screen").catch(() => null);
}
document.addEventListener("pointerup", keepAwake);
document.addEventListener("visibilitychange", keepAwake);

const { protocol } = location;
$("mode").textContent = protocol === "https:"
  ? "Over https: the page comes back without a link."
  : trusted ? "On this machine: the page comes back without a link." : "Over plain http: do not reload without a link.";
