// Nobody looks at the water: the page calls when a look is due, louder at half its time again, and after a locked screen.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, lit, prepared, serve, tap, water } from './support.mjs';

/** Keeps every tone with its time and how loud it was, in place of a loudspeaker. */
const listening = () => {
  globalThis.heard = [];
  const tones = class {
    state = 'suspended';
    currentTime = 0;
    destination = {};
    async resume() {
      this.state = 'running';
    }
    createOscillator() {
      return { frequency: {}, connect: (to) => to, start() {}, stop() {} };
    }
    createGain() {
      return { gain: { setValueAtTime: (loud) => loud && globalThis.heard.push([Date.now(), loud]) }, connect() {} };
    }
  };
  Object.defineProperty(globalThis, 'AudioContext', { value: tones });
};

/** A trial on fire whose water is to be looked at each 15 s, looked at just now, every stop seen, the sound armed. */
async function watched(browser, program) {
  const page = await browser.page({ width: 390, height: 844 });
  await page.addInitScript(listening);
  await prepared(page, program.address, { 'limits-reading_every_s': '15' });
  await lit(page);
  await look(page);
  await tap(page, /^Seen/);
  await page.locator('#arm').click();
  assert.equal(await page.locator('#arm').isVisible(), false, 'it is asked for until it is done');
  return page;
}

/** A look at the water; answers when the page says it is due again and when the call is to be louder. */
async function look(page) {
  const before = await page.locator('[data-louder]').first().getAttribute('data-due');
  await page.evaluate(() => (globalThis.heard.length = 0));
  await water(page, 30);
  await page.waitForFunction((was) => document.querySelector('[data-louder]')?.dataset.due !== was, before);
  const [due, louder] = await page.locator('[data-louder]').first().evaluate((el) => [el.dataset.due, el.dataset.louder].map(Number));
  return { due, louder };
}

test('a look that is due is called for, louder at half its time again, and at once after a locked screen', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await watched(browser, program);
    const { due, louder } = await look(page);
    assert.equal(louder - due, 7500);
    await page.waitForTimeout(Math.max(0, due - Date.now()) + 1500);
    const [soft] = (await page.evaluate(() => globalThis.heard)).find(([, loud]) => loud < 1);
    assert.equal(await page.locator('.readouts .very-late').count(), 0);
    // Asleep as it becomes very late: the page says so as soon as it wakes.
    const cdp = await page.context().newCDPSession(page);
    await cdp.send('Debugger.enable');
    await cdp.send('Debugger.pause');
    await new Promise((done) => setTimeout(done, louder + 2000 - Date.now()));
    const woken = Date.now();
    await cdp.send('Debugger.resume');
    await page.waitForTimeout(1200);
    const [after] = (await page.evaluate(() => globalThis.heard)).find(([, loud]) => loud === 1);
    assert.ok(await page.locator('.readouts .very-late').isVisible());
    if (process.env.GAUGEGLASS_SHOTS) await page.screenshot({ path: `${process.env.GAUGEGLASS_SHOTS}/very-late-390.png` });
    console.log(`late: called ${((soft - due) / 1000).toFixed(1)} s after it was due; woken after half its time again, louder within ${((after - woken) / 1000).toFixed(1)} s`);
    assert.ok(Math.abs(soft - due) <= 1000);
    assert.ok(after - woken <= 1000 && after >= woken);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
