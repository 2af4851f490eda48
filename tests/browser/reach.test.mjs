// The key that puts the fire out is under the thumb wherever the page was scrolled to, and what it shows is seen at once.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, byAnotherHand, tap, water } from './support.mjs';

/** Is a key that puts the fire out on the screen, and would a press there hit it? */
const inReach = () => [...document.querySelectorAll('button[value=fire-out]')].some((key) => {
  if (!key.checkVisibility()) return false;
  const box = key.getBoundingClientRect();
  const there = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  return box.top >= 0 && box.bottom <= innerHeight && (there === key || key.contains(there));
});
const inView = () => {
  const box = document.getElementById('fire-steps').getBoundingClientRect();
  return box.height > 0 && box.top < innerHeight - 100 && box.bottom > 100;
};

test('put the fire out is in reach from top to bottom, and its steps come into view', () => atATrial(async (page) => {
  await water(page, 30);
  await tap(page, /^Seen/);
  let places = 0;
  for (const [width, height] of [[360, 640], [360, 500], [320, 568], [640, 320], [1280, 800]]) {
    await page.setViewportSize({ width, height });
    const end = await page.evaluate(() => document.documentElement.scrollHeight);
    for (let y = 0; y < end + height; y += height / 2) {
      await page.evaluate((to) => scrollTo(0, to), y);
      assert.ok(await page.evaluate(inReach), `no key to put the fire out at ${width} x ${height}, scrolled to ${y}`);
      places += 1;
    }
  }
  await page.setViewportSize({ width: 360, height: 640 });
  await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  await page.context().setOffline(true);
  await page.locator('.fire-out button[value=fire-out]').click();
  await page.waitForFunction(inView);
  await page.context().setOffline(false);
  await page.getByText('The fire is out since').first().waitFor();
  assert.ok(await page.locator('#fire-steps').isVisible(), 'the steps stay while it is out');
  // Another hand lights it again.
  assert.equal(await byAnotherHand(page, { what: 'event', event: 'fire-lit' }), 201);
  await page.waitForFunction(() => document.getElementById('fire-steps').hidden);
  console.log(`put the fire out: in reach at ${places} places of 5 sizes`);
}, { width: 360, height: 640, expect: /ERR_INTERNET_DISCONNECTED/ }));

test('without a link water out of sight cries again when it comes again', () => atATrial(async (page) => {
  await tap(page, /^Seen/);
  await water(page, 40);
  await page.waitForTimeout(900);
  await page.context().setOffline(true);
  const own = page.locator('#own-stop');
  const below = page.locator('.glass button[value=below]');
  for (const time of ['first', 'second']) {
    await below.click();
    await own.getByText(/DO NOT/i).first().waitFor({ timeout: 3000 });
    assert.match(await own.innerText(), /No water seen/, `the ${time} time`);
    await page.locator('#own-seen').click();
    await own.waitFor({ state: 'hidden' });
    await water(page, 40);
    await page.waitForTimeout(1200);
  }
  await page.context().setOffline(false);
}, { width: 360, height: 740, expect: /ERR_INTERNET_DISCONNECTED/ }));
