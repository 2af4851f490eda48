// What is put in anew takes nothing out of a hand: a fold stays open, what was typed stays, what has the focus keeps it.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, byAnotherHand, tap, water } from './support.mjs';

test('what changes of a caution is shown while its reason is being typed, and the reason stays', () => atATrial(async (page) => {
  await water(page, 30);
  await tap(page, /^Seen/);
  assert.equal(await byAnotherHand(page, { what: 'reading', co_ppm: '40' }), 201);
  const bands = page.locator('[data-live=bands]');
  const fold = bands.locator('details', { hasText: 'Make it quiet' }).first();
  await fold.locator('summary').click();
  const why = fold.locator('input[name=why]');
  await why.fill('the door');
  await why.press('ArrowLeft');
  const rule = await why.getAttribute('id');
  // Another hand says that it was seen.
  const seen = await bands.getByRole('button', { name: /^Seen/ }).evaluate((k) => Object.fromEntries(new FormData(k.form)));
  assert.equal(await byAnotherHand(page, seen), 201);
  await page.waitForFunction((id) => /seen by/.test(document.getElementById(id).closest('.flagband').innerText), rule);
  assert.equal(await page.inputValue(`#${rule}`), 'the door');
  assert.ok(await page.locator(`#${rule}`).isVisible(), 'the fold stays open');
  assert.deepEqual(await page.evaluate(() => [document.activeElement.id, document.activeElement.selectionStart]), [rule, 7]);
}, { particulars: { 'instruments-co-resolution_ppm': '1' } }));

test('the page that is watched follows though its chart has the focus, and a key keeps it', () => atATrial(async (page, program) => {
  await water(page, 30);
  const trial = new URL(page.url()).pathname;
  await page.waitForTimeout(600);
  const key = page.locator('#flags').getByRole('button', { name: 'Make it a defect' }).first();
  await key.focus();
  await key.evaluate((k) => (globalThis.was = k));
  assert.equal(await byAnotherHand(page, { what: 'reading', level_mm: '29' }), 201);
  await page.waitForFunction(() => !globalThis.was.isConnected);
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Make it a defect');
  await page.goto(`${program.address}${trial}/watch`);
  await page.waitForTimeout(600);
  const chart = page.locator('[data-live=chart]');
  await chart.focus();
  const drawn = await chart.innerHTML();
  assert.equal(await byAnotherHand(page, { what: 'reading', level_mm: '20', pressure_bar: '1.5' }), 201);
  await page.waitForFunction((was) => document.querySelector('[data-live=chart]').innerHTML !== was, drawn);
  assert.equal(await page.evaluate(() => document.activeElement.dataset.live), 'chart');
}, { width: 1280, height: 900 }));
