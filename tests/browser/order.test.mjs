// Answers that come in another order than they were asked for, as over a poor link: what is newer stays on the screen.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, water } from './support.mjs';

test('an older page that arrives late never goes over a newer one', () => atATrial(async (page, program, browser) => {
  let late = null;
  await page.route(/\/trials\/1$/, async (route) => {
    if (late || route.request().method() !== 'GET') return route.continue();
    // As it stood before the reading; it is let through once the page shows that.
    const answer = await route.fetch();
    late = async () => route.fulfill({ response: answer });
  });
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  for (let n = 0; n < 50 && !late; n++) await page.waitForTimeout(50);
  await water(page, 33);
  const log = page.locator('[data-live=log]');
  const shows = () => log.innerText().then((words) => /\b33\b/.test(words));
  for (let n = 0; n < 100 && !(await shows()); n++) await page.waitForTimeout(50);
  assert.ok(await shows(), 'the reading is on the page');
  await late();
  await page.waitForTimeout(500);
  assert.ok(await shows(), 'and stays there');
  // The page that is only watched.
  const desk = await browser.page({ width: 1280, height: 900, serviceWorkers: 'block' });
  await desk.goto(`${program.address}/trials/1/watch`);
  await desk.waitForTimeout(600);
  let old = null;
  await desk.route(/\/trials\/1\/watch$/, async (route) => {
    if (old) return route.continue();
    const answer = await route.fetch();
    old = async () => route.fulfill({ response: answer });
  });
  await desk.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  for (let n = 0; n < 50 && !old; n++) await desk.waitForTimeout(50);
  await water(page, 32);
  const live = () => desk.locator('[data-live]').allInnerTexts().then((all) => all.join(' '));
  const before = await live();
  for (let n = 0; n < 100 && (await live()) === before; n++) await desk.waitForTimeout(50);
  const after = await live();
  await old();
  await desk.waitForTimeout(500);
  const still = await live();
  const figures = (text) => (text.match(/\b32\b/g) ?? []).length;
  assert.ok(figures(after) > figures(before), 'the reading is on the page that is watched');
  assert.equal(figures(still), figures(after), 'and stays there');
}));
