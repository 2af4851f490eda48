// Agreeing: an estimate, a variation asked about, the customer's answer on a page of their own, the statement.
// Once with script, once without; the customer's page sends no referrer, so only a browser shows that its form is taken.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { browse, serve } from './support.mjs';

const AXE = await readFile(new URL('./node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');

async function look(page, what) {
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  assert.deepEqual(violations.map((v) => v.id), [], what);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= page.viewportSize().width, `${what}: ${wide} px wide`);
}

async function fill(page, values) {
  for (const [id, value] of Object.entries(values)) await page.fill(`#${id}`, value);
}

async function estimateAndAsk(page, address) {
  await page.goto(address);
  await fill(page, { name: 'Test Works', owner: 'A. Tester' });
  await page.locator('form[action="/start/empty"] button').click();
  await page.getByRole('link', { name: 'Book a job in' }).first().click();
  await fill(page, { plant_name: 'Wren, launch plant', customer_name: 'Mr Example' });
  await page.getByRole('button', { name: 'Book it in' }).click();
  const job = page.url();
  await page.getByRole('link', { name: 'Estimate it' }).click();
  await fill(page, { least_hours: '7:20', most_hours: '10', hourly: '30', least_parts: '10', most_parts: '40', named: '300' });
  await page.getByRole('button', { name: 'Save' }).click();
  await page.getByText('£230.00').first().waitFor();
  await page.getByRole('link', { name: 'Write down a variation' }).click();
  await fill(page, { what: 'A second water glass', price: '74' });
  await page.check('#asked');
  await page.getByRole('button', { name: 'Save' }).click();
  await page.goto(`${job}/publish`);
  await page.locator('input[name="variation"]').check();
  await page.locator('form[action$="/publish"] button.blue').click();
  await page.locator('form[action$="/links"] button').first().click();
  const link = await page.locator('a[href^="/progress/"]').first().getAttribute('href');
  return { job, link: address + link };
}

for (const javaScriptEnabled of [true, false]) {
  test(`a variation is agreed on the customer's page, script ${javaScriptEnabled ? 'on' : 'off'}`, async () => {
    const program = await serve();
    const browser = await browse();
    try {
      const desk = await browser.page({ javaScriptEnabled });
      const { job, link } = await estimateAndAsk(desk, program.address);
      const phone = await browser.page({ width: 360, height: 780, javaScriptEnabled });
      await phone.goto(link);
      if (javaScriptEnabled) await look(phone, 'the question');
      await phone.getByRole('button', { name: /^Yes, do it/ }).click();
      await phone.getByText('Give your name').first().waitFor();
      if (javaScriptEnabled) await look(phone, 'the question sent back');
      await phone.getByLabel('Your name').fill('Mr Example');
      await phone.getByRole('button', { name: /^Yes, do it/ }).click();
      assert.equal(phone.url(), link);
      await phone.getByText('Mr Example said yes').first().waitFor();
      assert.equal(await phone.getByRole('button').count(), 0, 'an answer is given once');
      await desk.goto(`${job}/statement`);
      await desk.getByText('by Mr Example, on the progress page').first().waitFor();
      await desk.getByText('Owed £374.00').first().waitFor();
      assert.deepEqual(browser.faults, []);
    } finally {
      await browser.stop();
      await program.stop();
      await program.forget();
    }
  });
}
