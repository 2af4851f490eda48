// The length of the product with a hand on it: a job booked in, a trial run to a stop, the stop made
// a defect, the trial closed, the customer's page read. Once with script, once without.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { browse, serve } from './support.mjs';

const PARTICULARS = {
  'plant-working_pressure_bar': '4,0',
  'plant-glass-visible_mm': '40',
  'plant-glass-low_mark_mm': '8',
  'plant-glass-high_mark_mm': '34',
  'instruments-pressure-full_scale_bar': '6',
  'instruments-pressure-accuracy_class': '1',
  'instruments-pressure-resolution_bar': '0.1',
  'instruments-level-resolution_mm': '1',
};

async function bookIn(page, address) {
  await page.goto(address);
  await page.fill('#name', 'Test Works');
  await page.fill('#owner', 'A. Tester');
  await page.locator('form[action="/start/empty"] button').click();
  await page.getByRole('link', { name: 'Book a job in' }).first().click();
  await page.fill('#plant_name', 'Wren, launch plant');
  await page.fill('#customer_name', 'Mr Example');
  await page.fill('#words', 'It loses water & I do not know <where>.');
  await page.getByRole('button', { name: 'Book it in' }).click();
  assert.match(page.url(), /\/jobs\/\d\d-001$/);
  await page.getByText('It loses water & I do not know <where>.').waitFor();
}

async function prepare(page) {
  await page.getByRole('link', { name: 'Prepare a trial' }).click();
  await page.fill('#question', 'Does it hold its water?');
  await page.fill('#plant-working_pressure_bar', 'four');
  await page.getByRole('button', { name: 'Prepare the trial' }).click();
  assert.equal(await page.inputValue('#plant-working_pressure_bar'), 'four', 'what was typed stays');
  assert.equal(await page.inputValue('#question'), 'Does it hold its water?');
  for (const [id, value] of Object.entries(PARTICULARS)) await page.fill(`#${id}`, value);
  await page.getByRole('button', { name: 'Prepare the trial' }).click();
  await page.getByText('Before the fire').first().waitFor();
}

async function signOne(page) {
  await page.getByRole('button', { name: 'It is so' }).click();
  await page.getByText('1 of 9 signed').waitFor();
}

async function read(page, values) {
  // With script the water is tapped first; the boxes stand behind their own key.
  const figures = page.getByRole('button', { name: 'Figures' });
  if (await figures.isVisible()) await figures.click();
  for (const [id, value] of Object.entries(values)) await page.fill(`#${id}`, value);
  await page.locator('form.entry button.save').click();
}

async function runToAStop(page) {
  await page.getByRole('button', { name: 'It is lit already: record it' }).click();
  await page.getByText('Lit before the checks').first().waitFor();
  const seen = page.getByRole('button', { name: /Seen, A. Tester/ }).first();
  await seen.click();
  await read(page, { pressure_bar: '2,5', level_mm: '20' });
  await page.getByText('2.5').first().waitFor();
  await page.getByRole('button', { name: /^BELOW/ }).click();
  const stop = page.getByText('No water seen in the glass, and it is hot.').first();
  await stop.waitFor();
  const words = await page.locator('body').innerText();
  assert.match(words, /FIRE\s*OUT/i);
  assert.match(words, /DO NOT\s*FEED/i);
  assert.doesNotMatch(words, /Feed now/);
}

async function endIt(page, trial) {
  await page.getByRole('button', { name: /put the fire out/i }).first().click();
  await page.getByText('The fire is out since').first().waitFor();
  await page.goto(`${trial}/close`);
  await page.getByText('it is still hot').waitFor();
  await page.goto(trial);
  const more = page.locator('summary', { hasText: 'More events' });
  if (await more.count()) await more.first().click();
  await page.getByRole('button', { name: 'Pressure is gone' }).first().click();
  const flag = page.locator('tr', { hasText: 'No water seen in the glass, and it is hot.' });
  await flag.getByRole('button', { name: /Make it a defect/ }).first().click();
  await page.waitForURL(/#flags$/);
}

async function closeIt(page, trial) {
  await page.goto(`${trial}/close`);
  await page.getByText(/^\s*fail\s*$/i).first().waitFor();
  for (const box of await page.locator('input[name^=down-]').all()) await box.check();
  await page.check('input[name=answer][value=no]');
  await page.fill('textarea[name=note]', 'The water went out of sight within a minute.');
  await page.check('input[name=sign]');
  await page.getByRole('button', { name: 'Close and seal the record' }).click();
  await page.getByText(/^\s*fail\s*$/i).first().waitFor();
  await page.getByText('Stop, water-out-of-sight').first().waitFor();
}

async function publish(page, job) {
  await page.goto(job);
  await page.getByText('Water out of sight').first().waitFor();
  await page.getByRole('link', { name: 'Choose what the customer sees' }).click();
  await page.fill('#said', 'The trial showed where the water goes.');
  await page.getByRole('button', { name: 'Put it up' }).click();
  await page.getByText('The trial showed where the water goes.').first().waitFor();
  await page.getByRole('button', { name: 'Make a private link' }).click();
  return page.locator('.banner a').getAttribute('href');
}

async function customerReads(page, address, link) {
  await page.goto(address + link);
  const words = await page.locator('body').innerText();
  assert.match(words, /The trial showed where the water goes\./);
  assert.match(words, /do not steam/i);
  assert.doesNotMatch(words, /A\. Tester writes nothing private|No hydraulic test of this boiler/);
  assert.equal(await page.locator('a[href^="/jobs"]').count(), 0, 'no way into the workshop');
}

for (const javaScriptEnabled of [true, false]) {
  test(`a job from booking in to the customer's page, script ${javaScriptEnabled ? 'on' : 'off'}`, async () => {
    const program = await serve();
    const browser = await browse();
    try {
      const page = await browser.page({ width: 360, height: 780, javaScriptEnabled });
      await bookIn(page, program.address);
      const job = page.url();
      await prepare(page);
      const trial = page.url();
      await signOne(page);
      await runToAStop(page);
      await endIt(page, trial);
      await closeIt(page, trial);
      const link = await publish(page, job);
      const phone = await browser.page({ width: 360, height: 780, javaScriptEnabled });
      await customerReads(phone, program.address, link);
      assert.deepEqual(browser.faults, []);
      await program.stop();
      const said = execFileSync(process.env.GAUGEGLASS, ['verify', '--data', program.folder]).toString();
      assert.match(said, /1 trials?, \d+ entries, \d+ pictures?, OK/);
    } finally {
      await browser.stop();
      assert.equal(await program.stop(), 0, 'SIGTERM stops it cleanly');
      await program.forget();
    }
  });
}
