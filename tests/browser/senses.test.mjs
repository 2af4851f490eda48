// What an alarm reaches: the eye first, steadily where motion is not wanted; and each sense that this phone lacks is named.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, lit, prepared, serve } from './support.mjs';

const stopped = async (page) => {
  await lit(page);
  await page.locator('.stop-screen').first().waitFor();
};

test('a stop fills the screen, turns once a second, and stands still where motion is not wanted', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    let page = await browser.page({ width: 390, height: 844 });
    await prepared(page, program.address);
    await stopped(page);
    const trial = page.url();
    const head = () => page.locator('.stop-screen .stop-head').first().evaluate((el) => {
      const style = getComputedStyle(el);
      return { name: style.animationName, turn: parseFloat(style.animationDuration) };
    });
    const moving = await head();
    const screen = await page.locator('.stop-screen').first().boundingBox();
    const share = (screen.width * Math.min(screen.height, 844)) / (390 * 844);
    // Two changes a turn: at most three flashes a second.
    assert.ok(moving.name !== 'none' && moving.turn >= 2 / 3, JSON.stringify(moving));
    assert.ok(share >= 0.25, `${share}`);
    page = await browser.page({ width: 390, height: 844, reducedMotion: 'reduce' });
    await page.goto(trial);
    await page.locator('.stop-screen').first().waitFor();
    assert.equal((await head()).name, 'none');
    console.log(`a stop: ${Math.round(share * 100)} % of the screen, one turn in ${moving.turn} s, with reduced motion none`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('each sense that a phone lacks is named, and the screen is the alarm', async () => {
  const program = await serve();
  const browser = await browse();
  const all = [['sound', 'no sound'], ['vibration', 'no vibration'], ['wake lock', 'the screen may go dark']];
  let asked = 0;
  try {
    const first = await browser.page({ width: 390, height: 844 });
    await prepared(first, program.address);
    await stopped(first);
    const trial = first.url();
    for (let lacks = 0; lacks < 8; lacks++) {
      const page = await browser.page({ width: 390, height: 844 });
      await page.addInitScript((without) => {
        if (without & 1) for (const name of ['AudioContext', 'webkitAudioContext']) Object.defineProperty(globalThis, name, { value: undefined });
        if (without & 2) delete Navigator.prototype.vibrate;
        else Navigator.prototype.vibrate ??= () => true;
        if (without & 4) delete Navigator.prototype.wakeLock;
        else if (!('wakeLock' in navigator)) Navigator.prototype.wakeLock = { request: async () => ({ addEventListener() {} }) };
      }, lacks);
      await page.goto(trial);
      await page.locator('body.with-script').waitFor({ state: 'attached' });
      await page.waitForTimeout(600);
      const says = await page.locator('#senses').textContent();
      for (const [n, [, words]] of all.entries()) {
        asked += 1;
        assert.equal(says.includes(words), Boolean(lacks & (1 << n)), `${lacks}: ${says}`);
      }
      if (lacks) assert.match(says, /Look at the screen/);
      assert.ok(await page.locator('.stop-screen').first().isVisible());
      assert.equal(await page.locator('#arm').isVisible(), !(lacks & 1), 'where there is sound it is to be armed');
      if (lacks & 1) assert.match(await page.locator('#sound').textContent(), /no sound on this phone/);
    }
    console.log(`senses: 8 phones, ${asked} asked, wrongly named 0`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
