// The outbox: each entry lies in the phone's own store before the page says so, and leaves it only on an answer that
// repeats its key and its values. One at a time, oldest first; what the server cannot take stays here and says why.

const TIMEOUT_MS = 10_000;
const LONGEST_WAIT_MS = 30_000;

/** The phone's store; where that is refused, the page's memory, and the page says so. */
async function openStore() {
  const memory = { box: new Map(), meta: new Map(), pictures: new Map() };
  const inMemory = {
    kept: false,
    async put(item) {
      // What the phone's store had numbered before it failed is not numbered again.
      item.n = Math.max(item.n ?? 0, (memory.meta.get(item.trial) ?? 0) + 1);
      memory.meta.set(item.trial, item.n);
      memory.box.set(item.key, item);
      return item;
    },
    change: async (item) => void memory.box.set(item.key, item),
    drop: async (key) => void memory.box.delete(key),
    all: async () => [...memory.box.values()],
    device: async () => (memory.device ??= freshKey()),
    lastN: async (trial) => memory.meta.get(trial) ?? 0,
    keepOffset: async () => {},
    offset: async () => 0,
    pictures: {
      put: async (picture) => void memory.pictures.set(picture.key, picture),
      drop: async (key) => void memory.pictures.delete(key),
      all: async () => [...memory.pictures.values()],
    },
  };
  let db;
  try {
    db = await new Promise((good, bad) => {
      const asked = indexedDB.open("gaugeglass", 2);
      asked.onupgradeneeded = () => {
        const there = asked.result.objectStoreNames;
        for (const [name, keyPath] of [["outbox", "key"], ["meta", "name"], ["pictures", "key"]]) {
          if (!there.contains(name)) asked.result.createObjectStore(name, { keyPath });
        }
      };
      asked.onsuccess = () => good(asked.result);
      asked.onerror = () => bad(asked.error);
    });
  } catch {
    return inMemory;
  }
  const done = (tx) => new Promise((good, bad) => {
    tx.oncomplete = good;
    tx.onerror = tx.onabort = () => bad(tx.error);
  });
  const answer = (request) => new Promise((good, bad) => {
    request.onsuccess = () => good(request.result);
    request.onerror = () => bad(request.error);
  });
  const write = (...stores) => db.transaction(stores, "readwrite", { durability: "strict" });
  const change = async (name, act) => {
    const tx = write(name);
    act(tx.objectStore(name));
    await done(tx);
  };
  return withSpare({
    kept: true,
    /** Gives it the next number of this phone in this trial and keeps it, in one go: resolved only when it is there. */
    async put(item) {
      const tx = write("outbox", "meta");
      const end = done(tx);
      const name = `n:${item.trial}`;
      const last = await answer(tx.objectStore("meta").get(name));
      item.n = (last?.value ?? 0) + 1;
      tx.objectStore("meta").put({ name, value: item.n });
      tx.objectStore("outbox").put(item);
      await end;
      return item;
    },
    change: (item) => change("outbox", (box) => box.put(item)),
    drop: (key) => change("outbox", (box) => box.delete(key)),
    pictures: {
      put: (picture) => change("pictures", (box) => box.put(picture)),
      drop: (key) => change("pictures", (box) => box.delete(key)),
      all: () => answer(db.transaction("pictures").objectStore("pictures").getAll()),
    },
    all: () => answer(db.transaction("outbox").objectStore("outbox").getAll()),
    async device() {
      const tx = write("meta");
      const end = done(tx);
      const known = await answer(tx.objectStore("meta").get("device"));
      const value = known?.value ?? freshKey();
      if (!known) tx.objectStore("meta").put({ name: "device", value });
      await end;
      return value;
    },
    /** How far the server's clock was from this phone's when it was last heard, for a page that comes back without it. */
    keepOffset: (value) => change("meta", (meta) => meta.put({ name: "offset", value })),
    offset: async () => (await answer(db.transaction("meta").objectStore("meta").get("offset")))?.value ?? 0,
    lastN: async (trial) => (await answer(db.transaction("meta").objectStore("meta").get(`n:${trial}`)))?.value ?? 0,
  }, inMemory);
}

/** The phone's store, and the page's memory for what that no longer takes, as when the phone is full: the page says so then. */
function withSpare(store, memory) {
  const one = {
    ...store,
    async put(item) {
      try {
        return await store.put(item);
      } catch {
        one.kept = false;
        return memory.put(item);
      }
    },
    async change(item) {
      const spare = (await memory.all()).some((i) => i.key === item.key);
      return spare ? memory.change(item) : store.change(item);
    },
    async drop(key) {
      await memory.drop(key);
      await store.drop(key).catch(() => {});
    },
    all: async () => [...(await store.all().catch(() => [])), ...(await memory.all())],
    keepOffset: (value) => store.keepOffset(value).catch(() => {}),
    lastN: async (trial) => Math.max(await store.lastN(trial).catch(() => 0), await memory.lastN(trial)),
  };
  return one;
}

/** Does the answer repeat what was sent: its key, and each figure and word of a reading? */
function isRepeated(item, ack) {
  if (ack.key !== item.key) return false;
  return Object.entries(item.reading ?? {}).every(([key, value]) => String(ack.entry?.reading?.[key]) === String(value))
    && (!item.event || ack.entry?.event === item.event) && (!item.check || ack.entry?.check === item.check);
}

/** The wait before the next try, ms: 1, 2, 4 … 30 s at most, a little uneven so that phones do not come all at once. */
const wait = (tries) => Math.min(LONGEST_WAIT_MS, 1000 * 2 ** Math.min(tries, 5)) * (0.7 + 0.3 * Math.random());

/** `told` is called after every change; `reached` after every answer of the server's, with whether it is in touch. */
function makeOutbox(store, trial, told, reached) {
  let sending = false;
  let tries = 0;
  let timer = 0;
  const mine = async () => (await store.all()).filter((i) => i.trial === trial).sort((a, b) => a.n - b.n);

  async function send(item) {
    const answer = await fetch(`/trials/${trial}/entries`, {
      method: "POST",
      headers: { "content-type": "application/x-www-form-urlencoded", accept: "application/json" },
      // The number was given as it was kept: the same bytes at every try.
      body: `${item.body}&n=${item.n}`,
      signal: AbortSignal.timeout(TIMEOUT_MS),
    });
    if (answer.ok) {
      const ack = await answer.json();
      if (isRepeated(item, ack)) return "stored";
      return { says: "the workshop's PC answered with something else than was sent: compare with the log" };
    }
    // Come in again, too often, too slow, or its own fault: it stays and is sent again.
    if ([401, 408, 425, 429].includes(answer.status) || answer.status >= 500) return answer.status === 401 ? "door" : "later";
    const said = await answer.json().catch(() => ({}));
    const words = said.faults?.map((f) => f.says).join("; ") ?? said.says ?? said.error?.says ?? `the PC refused it (${answer.status})`;
    return { says: words };
  }

  async function flush() {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    try {
      for (const item of await mine()) {
        if (item.refused) continue;
        const end = await send(item);
        reached(end !== "later", end === "door");
        if (end === "later" || end === "door") throw end;
        if (end === "stored") await store.drop(item.key);
        else await store.change({ ...item, refused: end.says });
        tries = 0;
        await told(end === "stored" ? item : null);
      }
    } catch (why) {
      if (why !== "later" && why !== "door") reached(false, false);
      timer = setTimeout(flush, wait(tries++));
    } finally {
      sending = false;
    }
    await told(null);
  }

  return {
    mine,
    flush,
    /** The link is there again: at once. */
    now() {
      tries = 0;
      return flush();
    },
    async add(item) {
      await store.put(item);
      await told(null);
      flush();
    },
    /** The hand has read why it was refused, and takes it off the phone. */
    async putAway(key) {
      await store.drop(key);
      await told(null);
    },
  };
}
