// Stands in for the PC while there is no link, where a browser trusts the address enough to allow it: the trial's page comes
// back as it was last seen, and says so. Nothing that is entered depends on it.

const KEPT = "gaugeglass-trial-1";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => event.waitUntil(caches.open(KEPT).then((kept) => Promise.allSettled(event.data.map((address) => kept.add(address))))));

async function part(request) {
  const kept = await caches.open(KEPT);
  const there = await kept.match(request.url);
  if (there) return there;
  const answer = await fetch(request);
  if (answer.ok) await kept.put(request.url, answer.clone());
  return answer;
}

async function pageOf(request) {
  const kept = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) await kept.put(request.url, answer.clone());
    // A page that is gone, closed or shut is not shown from the store any more.
    else await kept.delete(request.url);
    return answer;
  } catch {
    const there = await kept.match(request.url);
    if (!there) return Response.error();
    const text = (await there.text()).replace('id="clock"', 'id="clock" data-kept="yes"');
    return new Response(text, { headers: there.headers });
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  if (request.mode === "navigate" && /^\/trials\/\d+(\/readings)?$/.test(address.pathname)) event.respondWith(pageOf(request));
  else if (address.pathname.startsWith("/assets/")) event.respondWith(part(request));
});
