// The trial's page in each of its states, as a hand and an eye meet it: accessible, large enough, dark enough on light; and
// the same over plain http by a name that a browser trusts with nothing.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFile, readdir } from 'node:fs/promises';
import { hostname } from 'node:os';
import { browse, lit, outbox, PARTICULARS, prepared, serve, tap } from './support.mjs';

const AXE = await readFile(new URL('./node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');
const SHOTS = process.env.GAUGEGLASS_SHOTS;

/** Faults of accessibility, with the contrast of trial pages at 7 to 1, and what is wider than the screen. */
async function faultsOf(page, state, width) {
  if (SHOTS) await page.screenshot({ path: `${SHOTS}/${state.replaceAll(' ', '-')}-${width}.png` });
  // Tall enough that the standing key covers nothing: what it covers is scrolled free, and that is not this rule's matter.
  await page.setViewportSize({ width, height: 2600 });
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() => globalThis.axe.run({ rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: true } } }));
  const faults = violations.map((v) => `${state} at ${width}: ${v.id}: ${v.nodes.map((n) => n.target.join(' ')).slice(0, 3).join(', ')}`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  if (wide > width) faults.push(`${state} at ${width}: ${wide} px wide`);
  await page.setViewportSize({ width, height: 780 });
  return faults;
}

/** The height of each visible key of a kind, px. */
const heights = (page, which) => page.locator(which).evaluateAll((all) => all.filter((k) => k.checkVisibility()).map((k) => Math.round(k.getBoundingClientRect().height)));

/** Ends a trial and seals it; the page stands on its record. */
async function closed(page, trial) {
  await page.goto(trial);
  await tap(page, /^Seen/);
  await page.getByRole('button', { name: /put the fire out/i }).first().click();
  await page.getByText('The fire is out since').first().waitFor();
  await page.getByRole('button', { name: 'Pressure is gone' }).first().click();
  await page.waitForTimeout(1000);
  await page.goto(`${trial}/close`);
  for (const box of await page.locator('input[name^=down-]').all()) await box.check();
  await page.check('input[name=answer][value=no]');
  await page.fill('textarea[name=note]', 'The water was out of sight.');
  await page.check('input[name=sign]');
  await page.getByRole('button', { name: 'Close and seal the record' }).click();
  await page.waitForURL(/\/record/);
}

/** Another trial of that job, to be read every fifteen seconds, at which nobody looks. */
async function unlooked(page, trial) {
  await page.goto(trial.replace(/trials\/\d+$/, 'jobs'));
  await page.locator('a[href^="/jobs/"]', { hasText: /^\d\d-\d{3}$/ }).first().click();
  await page.getByRole('link', { name: 'Prepare a trial' }).click();
  await page.fill('#question', 'Does it hold its water?');
  await page.locator('details', { has: page.locator('#limits-reading_every_s') }).evaluateAll((all) => all.forEach((d) => (d.open = true)));
  for (const [id, value] of Object.entries({ ...PARTICULARS, 'limits-reading_every_s': '15' })) await page.fill(`#${id}`, value);
  await page.getByRole('button', { name: 'Prepare the trial' }).click();
  await lit(page);
  await tap(page, /^Seen/);
  await page.locator('.tube svg').click({ position: { x: 40, y: 100 } });
  await page.locator('.here-key').click();
  await page.getByText(/late by/).first().waitFor({ timeout: 30_000 });
}

test('each state of the trial page is accessible and large enough at 320, 360 and 412 px', async () => {
  const program = await serve();
  const browser = await browse();
  const faults = [];
  const mains = [];
  const keys = [];
  let smallest = 999;
  try {
    const sizes = [320, 360, 412];
    const page = await browser.page({ width: 390, height: 844, expect: /ERR_INTERNET_DISCONNECTED/ });
    const look = async (state) => {
      for (const width of sizes) {
        await page.setViewportSize({ width, height: 780 });
        await page.waitForTimeout(120);
        faults.push(...(await faultsOf(page, state, width)));
        mains.push(...(await heights(page, '.key.big')));
        keys.push(...(await heights(page, '.keypad .key')));
        const small = await page.locator('main button, main a.key, main summary').evaluateAll((all) => all.filter((k) => k.checkVisibility() && !k.closest('.side')).map((k) => [Math.round(Math.min(k.getBoundingClientRect().height)), k.textContent.trim().slice(0, 30)]));
        for (const [high, words] of small) if (high < 48) faults.push(`${state} at ${width}: “${words}” is ${high} px high`);
        smallest = Math.min(smallest, ...small.map(([high]) => high));
      }
    };
    await prepared(page, program.address);
    const trial = page.url();
    await look('before the fire');
    await lit(page);
    await look('stop');
    await tap(page, /^Seen/);
    await page.getByRole('button', { name: 'Water is in the glass' }).isVisible();
    await page.locator('.tube svg').click({ position: { x: 40, y: 100 } });
    await page.locator('.here-key').click();
    await page.waitForTimeout(600);
    await look('calm');
    await page.getByRole('button', { name: 'Figures' }).click();
    await page.fill('#pressure_bar', '3.2.');
    await page.locator('.save').click();
    await look('a figure at fault');
    await page.fill('#pressure_bar', '9,5');
    await page.locator('.save').click();
    await look('a figure in doubt');
    await page.fill('#pressure_bar', '4,3');
    await page.locator('.save').click();
    await page.waitForTimeout(600);
    await page.fill('#pressure_bar', '4,3');
    await page.locator('.save').click();
    await page.waitForTimeout(600);
    await look('caution');
    await page.getByRole('button', { name: 'Water', exact: true }).click();
    await page.context().setOffline(true);
    await page.locator('.tube svg').click({ position: { x: 40, y: 120 } });
    await page.locator('.here-key').click();
    await page.getByText('No link since').waitFor();
    await look('offline');
    await page.getByRole('button', { name: /^BELOW/ }).first().click();
    await page.locator('#own-stop').waitFor({ state: 'visible' });
    await look('stop found by the phone');
    await page.context().setOffline(false);
    await page.waitForTimeout(2500);
    for (const path of ['/phones', '/paper', '/watch', '/readings', '/close']) {
      await page.goto(trial + path);
      await look(path.slice(1));
    }
    await closed(page, trial);
    await look('closed');
    await unlooked(page, trial);
    await look('overdue');
    console.log(`trial page: ${sizes.length} widths, faults ${faults.length}, main targets at least ${Math.min(...mains)} px tall, keypad keys ${Math.min(...keys)}, all else ${smallest}`);
    assert.deepEqual(faults, []);
    assert.ok(Math.min(...mains) >= 106 && Math.min(...keys) >= 72, `${Math.min(...mains)}, ${Math.min(...keys)}`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('two thousand stray touches enter nothing, sign nothing and close nothing', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844 });
    await prepared(page, program.address);
    await lit(page);
    await tap(page, /^Seen/);
    await page.getByRole('button', { name: 'Figures' }).click();
    const count = async () => (await (await page.request.get(`${page.url()}/file`)).json()).entries.length;
    const before = await count();
    // On everything that does not enter by being pressed: the glass, the keypad, boxes, words, folds.
    const touched = await page.evaluate(() => {
      const deliberate = '.save, .here-key, .fitting, [name=event], [name=level_seen], [href], form:not(.entry) button, #sound, #arm';
      let touched = 0;
      for (let n = 0; n < 8000 && touched < 2000; n++) {
        const [x, y] = [Math.random() * innerWidth, Math.random() * innerHeight];
        scrollTo(0, Math.random() * 600);
        const target = document.elementFromPoint(x, y);
        if (!target || target.closest(deliberate)) continue;
        const at = { bubbles: true, cancelable: true, clientX: x, clientY: y };
        for (const kind of ['pointerdown', 'pointerup']) target.dispatchEvent(new PointerEvent(kind, at));
        target.dispatchEvent(new MouseEvent('click', at));
        touched++;
      }
      return touched;
    });
    await page.waitForTimeout(500);
    const made = (await count()) - before;
    console.log(`stray touches: ${touched}, entered ${made}, on the phone ${(await outbox(page)).length}`);
    assert.ok(touched >= 2000);
    assert.equal(made + (await outbox(page)).length, 0);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('over plain http by the name of the machine a phone joins by its code and keeps what it enters', async () => {
  const first = await serve();
  const setting = await browse();
  const page = await setting.page({ width: 390, height: 844 });
  await prepared(page, first.address);
  await page.goto(`${first.address}/workshop`);
  await page.fill('input#phrase', 'three copper kettles');
  await page.fill('#again', 'three copper kettles');
  await page.locator('form[action="/workshop/pass-phrase"] button').click();
  await setting.stop();
  await first.stop();
  const program = await serve(first.folder, 0, ['--lan']);
  const port = new URL(program.address).port;
  const name = `http://${hostname()}:${port}`;
  // Over plain http a browser says that it heeds some headers only where it trusts the address.
  const untrusted = /Cross-Origin-Opener-Policy|status of 401|ERR_INTERNET_DISCONNECTED/;
  const browser = await browse([`--host-resolver-rules=MAP ${hostname()} 127.0.0.1`], new RegExp(`^(${name}/|data:|blob:)`));
  try {
    const desk = await browser.page({ width: 1280, height: 900, expect: untrusted });
    await desk.goto(name);
    await desk.fill('#who', 'A. Tester');
    await desk.fill('#phrase', 'three copper kettles');
    await desk.getByRole('button', { name: 'Come in' }).click();
    await desk.goto(`${name}/trials/1/phones`);
    await desk.getByRole('button', { name: 'Show a code' }).click();
    await desk.locator('figure.code svg').waitFor();
    const address = await desk.locator('.address').innerText();
    const join = `${name}${new URL(address).pathname}`;
    const phone = await browser.page({ width: 390, height: 844, expect: untrusted });
    await phone.goto(join);
    await phone.fill('#who', 'Piet');
    await phone.getByRole('button', { name: 'Join' }).click();
    await phone.getByRole('button', { name: 'It is lit already: record it' }).click();
    await phone.locator('body.with-script').waitFor({ state: 'attached' });
    assert.equal(await phone.evaluate(() => isSecureContext), false, 'this is the plain case');
    await tap(phone, /^Seen/);
    await phone.context().setOffline(true);
    await phone.locator('.tube svg').click({ position: { x: 40, y: 100 } });
    await phone.locator('.here-key').click();
    await phone.getByText('1 entry on this phone').waitFor();
    await phone.context().setOffline(false);
    for (let n = 0; n < 60 && (await outbox(phone)).length > 0; n++) await phone.waitForTimeout(250);
    assert.equal((await outbox(phone)).length, 0);
    await phone.goto(`${name}/jobs`);
    assert.match(phone.url(), /\/trials\/1/, 'it goes nowhere else');
    // The session ends while something is on the phone: it stays there, and goes when somebody comes in again.
    await phone.locator('body.with-script').waitFor({ state: 'attached' });
    await phone.context().clearCookies();
    await phone.locator('.here-key').click();
    await phone.getByText('You have to come in again').waitFor({ timeout: 20_000 });
    assert.equal((await outbox(phone)).length, 1);
    phone.on('dialog', (asked) => asked.accept());
    await phone.goto(join);
    await phone.fill('#who', 'Piet');
    await phone.getByRole('button', { name: 'Join' }).click();
    for (let n = 0; n < 60 && (await outbox(phone)).length > 0; n++) await phone.waitForTimeout(250);
    assert.equal((await outbox(phone)).length, 0);
    assert.deepEqual(browser.faults, []);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('what the phone page weighs', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, serviceWorkers: 'block' });
    await prepared(page, program.address);
    await lit(page);
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    await session.send('Network.setCacheDisabled', { cacheDisabled: true });
    let bytes = 0;
    session.on('Network.loadingFinished', (end) => (bytes += end.encodedDataLength));
    await page.goto(page.url());
    await page.waitForTimeout(1500);
    const folder = new URL('../../static/hand/', import.meta.url);
    let lines = 0;
    for (const name of await readdir(folder)) lines += (await readFile(new URL(name, folder), 'utf8')).split('\n').length - 1;
    console.log(`phone page: ${bytes} bytes over the wire with nothing kept, scripts ${lines} lines`);
    assert.ok(bytes > 0 && bytes < 400_000, `${bytes}`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
