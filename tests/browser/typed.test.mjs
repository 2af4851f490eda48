// What is typed at a trial: a fault is said beside its box and nothing is emptied; what was kept is listed as it was typed.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, outbox, water } from './support.mjs';

test('a figure that cannot be keeps everything in its boxes, and a kept one is listed as typed', () => atATrial(async (page) => {
  await page.getByRole('button', { name: 'Figures' }).click();
  // A thumb does not press twice within this; a bounce of it does, and is one press.
  const bounce = () => page.waitForTimeout(450);
  const save = { click: () => bounce().then(() => page.locator('form.entry button.save').click()) };
  const says = (id) => page.locator(`.typed:has(#${id}) .says`);
  const log = page.locator('[data-live=log]');
  const pencil = page.locator('#pencil');

  await save.click();
  await page.getByText('Nothing was typed, nothing is kept').waitFor();

  await page.fill('#pressure_bar', '3,20');
  await page.fill('#level_mm', '99');
  await save.click();
  assert.match(await says('level_mm').innerText(), /60 mm long.*press ABOVE/);
  assert.equal(await page.inputValue('#pressure_bar'), '3,20');
  assert.equal(await page.inputValue('#level_mm'), '99');
  assert.deepEqual(await outbox(page), []);
  await page.fill('#level_mm', '40');
  await save.click();
  await pencil.getByText('3.20 bar, 40 mm').waitFor();
  assert.equal(await page.inputValue('#pressure_bar'), '');

  // A tap on the glass is an entry of its own: what stands in the boxes is still to be saved.
  await page.fill('#pressure_bar', '3,30');
  await page.getByRole('button', { name: 'Water', exact: true }).click();
  await water(page, 39);
  await pencil.getByText('39 mm').waitFor();
  await page.getByRole('button', { name: 'Figures' }).click();
  assert.equal(await page.inputValue('#pressure_bar'), '3,30');

  // With a gauge that goes to 6 bar the hand is asked; beyond what a boiler can hold it is said at once.
  await page.fill('#pressure_bar', '25');
  await save.click();
  assert.match(await says('pressure_bar').innerText(), /in bar/);
  await page.fill('#pressure_bar', '');

  await page.locator('summary', { hasText: 'More events' }).click();
  const added = { click: () => bounce().then(() => page.getByRole('button', { name: 'Water added' }).click()) };
  await page.fill('#amount_ml', '1.000,5');
  await added.click();
  await says('amount_ml').waitFor();
  assert.equal(await page.inputValue('#amount_ml'), '1.000,5');
  await page.fill('#amount_ml', '250,5');
  await added.click();
  await pencil.getByText('water added, 250.5 ml to the tank').waitFor();
  assert.equal(await page.inputValue('#amount_ml'), '', 'it would be added twice');
  await log.getByText('250.5').first().waitFor();

  await page.getByRole('button', { name: 'Keep the note' }).click();
  await page.getByText('A note without words').waitFor();
}, { width: 360, height: 780 }));
