// A phone that is full, slow or without a link: no press is lost, doubled, or without an answer on the screen.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, tap, water } from './support.mjs';

const ON_A_PHONE = { width: 360, height: 780, expect: /ERR_INTERNET_DISCONNECTED/ };
const entries = async (page) => (await (await page.request.get(`${page.url().split('#')[0]}/file`)).json()).entries;
const below = (page) => page.locator('.glass button[value=below]');

test('a phone whose store is full sends from memory and says so', () => atATrial(async (page) => {
  await tap(page, /^Seen/);
  await water(page, 30);
  await page.waitForTimeout(600);
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await below(page).click();
  await page.locator('[data-live=stop] .stop-screen').getByText('No water seen').first().waitFor();
  assert.match(await page.locator('#link').innerText(), /cannot hold readings/);
  const read = (await entries(page)).filter((e) => e.reading);
  assert.deepEqual(read.map((e) => e.reading.level_seen ?? e.reading.level_mm), [30, 'below']);
}, ON_A_PHONE));

test('a press that bounces is one entry, also on the glass and while the store is slow', () => atATrial(async (page) => {
  await tap(page, /^Seen/);
  await water(page, 30);
  await page.locator('.here-key', { hasText: 'as before' }).waitFor();
  await page.waitForTimeout(600);
  await page.evaluate(() => {
    const key = document.querySelector('.here-key');
    key.click();
    key.click();
  });
  await page.waitForTimeout(900);
  // The store takes its time.
  await page.evaluate(() => {
    const open = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...all) {
      const end = performance.now() + (all[1] === 'readwrite' ? 700 : 0);
      while (performance.now() < end);
      return open.apply(this, all);
    };
  });
  await page.getByRole('button', { name: 'Figures' }).click();
  await page.fill('#pressure_bar', '1.5');
  await page.evaluate(() => {
    const key = document.querySelector('form.entry button.save');
    key.click();
    setTimeout(() => key.click(), 500);
  });
  await page.waitForTimeout(4000);
  const read = (await entries(page)).filter((e) => e.reading).map((e) => e.reading);
  assert.equal(read.filter((r) => r.level_mm === 30).length, 2, 'once, and once as before');
  assert.equal(read.filter((r) => r.pressure_bar === 1.5).length, 1);
}, ON_A_PHONE));

test('without a link a stop that is seen gives the screen back, and putting the fire out is answered', () => atATrial(async (page) => {
  await tap(page, /^Seen/);
  await water(page, 30);
  await page.waitForTimeout(600);
  await below(page).click();
  const stop = page.locator('[data-live=stop] .stop-screen');
  await stop.getByText('No water seen').first().waitFor();
  await page.context().setOffline(true);
  await stop.locator('button[value=fire-out]').click();
  const steps = page.locator('#fire-steps');
  await steps.waitFor();
  await page.waitForFunction(() => document.getElementById('fire-steps').getBoundingClientRect().top < innerHeight - 100);
  await page.evaluate(() => scrollTo(0, 0));
  await stop.getByRole('button', { name: /^Seen/ }).click();
  await stop.waitFor({ state: 'hidden' });
  await page.locator('.flagband.on-its-way').getByText(/DO NOT/i).waitFor();
  assert.equal(await page.locator('.flagband.on-its-way').count(), 1);
  await page.context().setOffline(false);
  await page.locator('.on-its-way').waitFor({ state: 'detached', timeout: 40_000 });
  assert.equal(await stop.isVisible().catch(() => false), false, 'it stays seen');
}, ON_A_PHONE));

test('once the fire is out its key to light it again is there without a reload', () => atATrial(async (page) => {
  await tap(page, /^Seen/);
  await page.locator('.fire-out button[value=fire-out]').click();
  await page.getByText('The fire is out since').first().waitFor();
  await page.locator('summary', { hasText: 'More events' }).click();
  await page.getByRole('button', { name: 'Fire lit again' }).click();
  await page.locator('.fire-out button[value=fire-out]').waitFor();
}, ON_A_PHONE));
