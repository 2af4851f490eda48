// The phone at the trial: a link that goes away, a tab that is killed, clocks that are wrong, two hands at once, and a
// plain http address that a browser trusts with nothing.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, lit, outbox, prepared, serve, tap, water } from './support.mjs';

const pause = (ms) => new Promise((done) => setTimeout(done, ms));

/** Waits until nothing is left on the phone. */
async function sent(page, seconds = 20) {
  await page.locator('body.with-script').waitFor({ state: 'attached' });
  for (let n = 0; n < seconds * 5 && (await outbox(page)).length > 0; n++) await page.waitForTimeout(200);
}

async function entries(program, page) {
  const file = await (await page.request.get(`${program.address}/trials/1/file`)).json();
  return file.entries;
}

test('twenty readings in a dead spot, the tab killed, and each is in the log once', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    // As over plain http, where a browser allows no stand-in.
    let page = await browser.page({ width: 390, height: 844, serviceWorkers: 'block', expect: /ERR_INTERNET_DISCONNECTED/ });
    await prepared(page, program.address);
    await lit(page);
    await page.waitForTimeout(300);
    const before = (await entries(program, page)).length;
    await page.context().setOffline(true);
    for (let n = 0; n < 20; n++) {
      await water(page, 40 - n);
      await page.waitForTimeout(420);
    }
    assert.equal((await outbox(page)).length, 20, 'all are on the phone');
    await page.getByText('20 entries on this phone').waitFor();
    const context = page.context();
    const session = await context.newCDPSession(page);
    const crashed = new Promise((done) => page.once('crash', done));
    session.send('Page.crash').catch(() => {});
    // A tab whose process is gone answers nothing any more, closing it included.
    await Promise.race([crashed, pause(3000)]);
    await Promise.race([page.close(), pause(1000)]);
    page = await context.newPage();
    await context.setOffline(false);
    await page.goto(`${program.address}/trials/1`);
    await sent(page);
    const all = await entries(program, page);
    const levels = all.slice(before).map((e) => e.reading?.level_mm).filter((mm) => mm !== undefined);
    const left = (await outbox(page)).length;
    console.log(`dead spot: rows ${levels.length}, duplicates ${levels.length - new Set(levels).size}, outbox ${left}`);
    assert.deepEqual(levels, Array.from({ length: 20 }, (_, n) => 40 - n), 'in the order of the hand');
    assert.equal(left, 0);
    const times = all.slice(before).filter((e) => e.reading).map((e) => e.t_s);
    assert.ok(times.at(-1) - times[0] > 7, 'each has its own time');
    await context.close();
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('the server goes away for a while, the page is reloaded, and everything arrives', async () => {
  let program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_CONNECTION_REFUSED|ERR_EMPTY|ERR_CONNECTION_RESET|ERR_INCOMPLETE/ });
    await prepared(page, program.address);
    await lit(page);
    const before = (await entries(program, page)).length;
    await program.stop();
    for (const mm of [40, 39, 38]) {
      await water(page, mm);
      await page.waitForTimeout(420);
    }
    assert.equal((await outbox(page)).length, 3);
    page.once('dialog', (asked) => asked.accept());
    await page.reload().catch(() => {});
    await page.waitForTimeout(500);
    program = await serve(program.folder, new URL(program.address).port);
    await page.goto(`${program.address}/trials/1`);
    await sent(page);
    const levels = (await entries(program, page)).slice(before).map((e) => e.reading?.level_mm).filter(Boolean);
    console.log(`reload with the server stopped: rows ${levels.length} of 3`);
    assert.deepEqual(levels, [40, 39, 38]);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('where the browser trusts the address, the page comes back without the server, with the right time', async () => {
  let program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_|status of 504/ });
    await prepared(page, program.address);
    await lit(page);
    await page.getByText('the page comes back without a link').waitFor();
    await page.waitForFunction(async () => (await navigator.serviceWorker.ready) && (await caches.keys()).length > 0 && (await (await caches.open('gaugeglass-trial-1')).keys()).length >= 3);
    await page.waitForFunction(() => document.querySelector('#in-hand .who').textContent !== '');
    await program.stop();
    await page.reload();
    await page.locator('body.with-script').waitFor({ state: 'attached' });
    await page.locator('#link', { hasText: 'No link since' }).waitFor();
    const truth = Date.now();
    await water(page, 40);
    await page.getByText('1 entry on this phone').waitFor();
    const [item] = await outbox(page);
    const off = Math.abs(item.at_ms - truth) / 1000;
    console.log(`reloaded without the server: the page is there, its time off by ${off.toFixed(2)} s`);
    assert.ok(off < 1.5);
    program = await serve(program.folder, new URL(program.address).port);
    await sent(page, 60);
    assert.equal((await entries(program, page)).at(-1).reading.level_mm, 40);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('what lies on the phone is sent from the other pages of the workshop too', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_FAILED/ });
    await prepared(page, program.address);
    await lit(page);
    await page.route('**/trials/1/entries', (route) => route.abort('failed'));
    await water(page, 40);
    await page.getByText('1 entry on this phone').waitFor();
    page.once('dialog', (asked) => asked.accept());
    await page.goto(`${program.address}/jobs`);
    await page.getByText('1 entry of a trial still on this phone').waitFor();
    await page.unroute('**/trials/1/entries');
    for (let n = 0; n < 50 && (await outbox(page)).length > 0; n++) await page.waitForTimeout(200);
    assert.equal((await outbox(page)).length, 0);
    assert.equal((await entries(program, page)).at(-1).reading.level_mm, 40);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('a picture of the glass counts as a look at once and follows when there is a link', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_INTERNET_DISCONNECTED/ });
    await prepared(page, program.address);
    await lit(page);
    await tap(page, /^Seen/);
    await page.getByRole('button', { name: 'Figures' }).click();
    const picture = await page.evaluate(async () => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [2400, 1800];
      canvas.getContext('2d').fillRect(0, 0, 900, 900);
      const blob = await new Promise((done) => canvas.toBlob(done, 'image/png'));
      return [...new Uint8Array(await blob.arrayBuffer())];
    });
    await page.context().setOffline(true);
    await page.locator('#glass-picture').setInputFiles({ name: 'glass.png', mimeType: 'image/png', buffer: Buffer.from(picture) });
    await page.getByText('1 picture on this phone').waitFor();
    await page.locator('#pencil').getByText('look by picture').waitFor();
    await page.context().setOffline(false);
    await page.waitForFunction(() => document.getElementById('pictures-left').textContent === '', null, { timeout: 40_000 });
    assert.equal((await entries(program, page)).at(-1).event, 'look-by-picture');
    const job = await (await page.request.get(`${program.address}/jobs/${String(new Date().getFullYear()).slice(2)}-001`)).text();
    assert.match(job, /the glass at \d\d:\d\d:\d\d/);
    // Read off later: at the time when it was taken.
    await page.getByRole('link', { name: '1 picture of the glass to read off' }).click();
    await page.getByRole('link', { name: /read it off/ }).click();
    const at = await page.inputValue('#time-1');
    await page.fill('#level-1', '33');
    await page.getByRole('button', { name: 'Keep what is written' }).click();
    await page.locator('body.with-script').waitFor({ state: 'attached' });
    assert.equal(await page.getByText('of the glass to read off').count(), 0);
    const read = (await entries(program, page)).at(-1);
    assert.equal(read.reading.level_mm, 33);
    assert.ok(job.includes(`the glass at ${at}`), at);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('ten minutes without a link: few tries, and all sent soon after', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_INTERNET_DISCONNECTED|ERR_FAILED/ });
    await prepared(page, program.address);
    await lit(page);
    const before = (await entries(program, page)).length;
    let tries = 0;
    let cut = true;
    await page.route('**/trials/1/**', (route) => (cut ? route.abort('failed') : route.continue()));
    page.on('request', (asked) => {
      if (asked.method() === 'POST' && asked.url().endsWith('/entries')) tries++;
    });
    // From here the page's own clock is ours.
    await page.clock.install();
    await page.clock.pauseAt(Date.now() + 1000);
    for (const mm of [40, 39, 38, 37]) {
      await water(page, mm);
      await page.clock.runFor(500);
    }
    for (let s = 0; s < 600; s += 10) await page.clock.runFor(10_000);
    const whileCut = tries;
    assert.ok(whileCut <= 60, `${whileCut} tries in ten minutes`);
    assert.ok(await page.locator('#link').innerText().then((words) => /No link since/.test(words)));
    cut = false;
    let waited = 0;
    while ((await outbox(page)).length > 0 && waited < 35) {
      await page.clock.runFor(1000);
      // The program answers in its own time, not in the page's.
      await pause(400);
      waited += 1;
    }
    const levels = (await entries(program, page)).slice(before).map((e) => e.reading?.level_mm).filter(Boolean);
    console.log(`ten-minute outage: ${whileCut} tries while cut, all sent ${waited} s after, rows ${levels.length} of 4`);
    assert.deepEqual(levels, [40, 39, 38, 37]);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('two phones, two hundred entries, none lost and both pages the same', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const one = await browser.page({ width: 390, height: 844 });
    await prepared(one, program.address);
    await lit(one);
    const two = await browser.page({ width: 390, height: 844 });
    await two.goto(`${program.address}/trials/1`);
    await two.locator('body.with-script').waitFor({ state: 'attached' });
    const before = (await entries(program, one)).length;
    for (let n = 0; n < 100; n++) {
      await Promise.all([one, two].map((page, which) => page.evaluate(([words]) => {
        const form = [...document.forms].find((f) => f.elements.event?.value === 'note');
        form.elements.note.value = words;
        form.querySelector('button').click();
      }, [`${which} ${n}`])));
      await new Promise((done) => setTimeout(done, 410));
    }
    for (const page of [one, two]) await sent(page, 30);
    const notes = (await entries(program, one)).slice(before).map((e) => e.note);
    const lost = 200 - new Set(notes).size;
    let [a, b, after] = ['', ' ', 0];
    for (; a !== b && after < 20; after++) {
      await one.waitForTimeout(500);
      [a, b] = await Promise.all([one, two].map((page) => page.locator('[data-live=log]').innerText()));
    }
    console.log(`two phones: ${notes.length} rows of 200, lost ${lost}, pages ${a === b ? `equal ${after / 2} s after` : 'differ'}`);
    assert.equal(lost, 0);
    assert.equal(notes.length, 200);
    assert.equal(a, b);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

for (const [name, shift] of [['three hours behind', -3 * 3_600_000], ['seven minutes ahead', 7 * 60_000]]) {
  test(`a phone whose clock is ${name} enters the true time`, async () => {
    const program = await serve();
    const browser = await browse();
    try {
      const page = await browser.page({ width: 390, height: 844 });
      await page.addInitScript((by) => {
        const real = Date.now.bind(Date);
        window.jumpBy = 0;
        Date.now = () => real() + by + window.jumpBy;
      }, shift);
      await prepared(page, program.address);
      await lit(page);
      const off = [];
      const enterAndCompare = async (mm) => {
        const truth = Date.now();
        await water(page, mm);
        await page.waitForFunction((want) => document.querySelector('[data-live=saved]').textContent.includes(`${want} mm`), mm);
        const file = await (await page.request.get(`${program.address}/trials/1/file`)).json();
        const entry = file.entries.at(-1);
        off.push(Math.abs(Date.parse(file.started_at) + entry.t_s * 1000 - truth) / 1000);
        return entry;
      };
      for (const mm of [40, 39]) assert.equal((await enterAndCompare(mm)).marks, undefined, 'no jump yet');
      await page.evaluate(() => (window.jumpBy = 3_600_000));
      await page.waitForTimeout(700);
      for (const mm of [38, 37]) assert.deepEqual((await enterAndCompare(mm)).marks, ['clock-jumped']);
      console.log(`clock ${name}: shown times off by at most ${Math.max(...off).toFixed(2)} s`);
      // The start is written to the second, so that much is not the phone's.
      assert.ok(Math.max(...off) <= 2, `${off}`);
      await page.getByText('clock was set meanwhile').waitFor();
    } finally {
      await browser.stop();
      await program.stop();
      await program.forget();
    }
  });
}

test('where the phone refuses its store, the page says so and never calls an entry kept', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_INTERNET_DISCONNECTED/ });
    await page.addInitScript(() => {
      Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('refused', 'SecurityError'); } });
    });
    await prepared(page, program.address);
    await lit(page);
    await page.getByText('This phone cannot hold readings').waitFor();
    await page.context().setOffline(true);
    await water(page, 40);
    await page.getByText('on this page only').first().waitFor();
    assert.doesNotMatch(await page.locator('#pencil').innerText(), /on this phone/);
    await page.context().setOffline(false);
    await page.waitForFunction(() => document.querySelectorAll('#pencil .pencil-mark').length === 0, null, { timeout: 10_000 });
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('without a link the phone cries by itself, and with the water out of sight it says nothing of feed', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 664, expect: /ERR_INTERNET_DISCONNECTED/ });
    await prepared(page, program.address);
    await lit(page);
    await tap(page, /^Seen/);
    await water(page, 40);
    await page.waitForTimeout(500);
    await page.context().setOffline(true);
    await page.getByRole('button', { name: /^BELOW/ }).first().click();
    await page.locator('#own-stop').waitFor({ state: 'visible' });
    const words = await page.locator('#own-stop').innerText();
    assert.match(words, /FIRE OUT/i);
    assert.match(words, /DO NOT FEED/i);
    assert.doesNotMatch(words, /feed now|feed gently/i);
    const from = Date.now();
    await page.locator('#own-stop').getByRole('button', { name: /put the fire out/i }).click();
    await page.locator('#fire-steps').waitFor({ state: 'attached' });
    await page.waitForFunction(() => !document.getElementById('fire-steps').hidden);
    const took = Date.now() - from;
    console.log(`put the fire out without a link: its steps after ${took} ms`);
    assert.ok((await outbox(page)).some((item) => item.event === 'fire-out'));
    const alarm = await page.locator('#own-stop').boundingBox();
    assert.ok(!alarm || alarm.height >= 0.25 * 664, 'it can be seen from three metres');
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
