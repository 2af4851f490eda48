// A press that only the workshop's PC can answer: it is not lost when the page changes under it, nor when an entry is still
// on its way.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, water } from './support.mjs';

const flags = (page) => page.locator('#flags');
const defectKey = (page) => flags(page).getByRole('button', { name: 'Make it a defect' }).first();

test('a press is not lost when its part of the page is put in anew before the PC has answered', () => atATrial(async (page) => {
  let let_go;
  const held = new Promise((go) => (let_go = go));
  let asked = false;
  await page.route(/\/trials\/1\/phones$/, async (route) => {
    asked = true;
    await held;
    await route.continue();
  });
  const key = await defectKey(page).elementHandle();
  await defectKey(page).click();
  for (let n = 0; n < 40 && !asked; n++) await page.waitForTimeout(25);
  // A new flag: the list that the key stood in is another one now.
  await water(page, 5);
  const stands = () => key.evaluate((k) => k.isConnected);
  for (let n = 0; n < 80 && (await stands()); n++) await page.waitForTimeout(25);
  assert.ok(!(await stands()), 'the key that was pressed is no longer on the page');
  let_go();
  await page.waitForURL(/#flags$/);
  await flags(page).getByText('defect 1').first().waitFor();
}));

test('a press waits for the entry before it, and nobody is asked whether to leave', () => atATrial(async (page) => {
  let asked = 0;
  page.on('dialog', (dialog) => {
    asked += 1;
    return dialog.dismiss();
  });
  await page.route(/\/trials\/1\/entries$/, async (route) => {
    await new Promise((go) => setTimeout(go, 1200));
    await route.continue();
  });
  await water(page, 33);
  await defectKey(page).click();
  await page.waitForURL(/#flags$/);
  assert.equal(asked, 0, 'asked whether to leave the page');
  await flags(page).getByText('defect 1').first().waitFor();
  assert.match(await page.locator('[data-live=log]').innerText(), /\b33\b/);
}));
