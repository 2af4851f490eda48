// A list that is read and done goes on in a dead spot, and what only the workshop's PC can do leaves the page where it is.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, outbox, prepared, serve } from './support.mjs';

test('a list goes on without a link, item by item, and nothing leaves the page', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 360, height: 780, serviceWorkers: 'block', expect: /ERR_INTERNET_DISCONNECTED/ });
    await prepared(page, program.address);
    await page.getByRole('button', { name: 'It is lit already: record it' }).click();
    await page.locator('body.with-script').waitFor({ state: 'attached' });
    const list = page.locator('details[data-live^="list-lighting-up"]').first();
    await list.locator('summary').first().click();
    await page.waitForTimeout(300);
    await page.context().setOffline(true);
    const step = async (key) => {
      await list.locator('.now-item').getByRole('button', { name: key, exact: true }).click();
      await page.waitForTimeout(450);
    };
    await step('1 is done');
    await step('2 is done');
    await step('3 is done');
    // The fourth is a must-see item: it has answers, and no plain key.
    assert.match(await list.locator('.now-item .must-see').innerText(), /4 · must-see item/);
    await step('blue and steady');
    // The fifth is skipped, and wants its reason.
    await list.locator('.now-item details summary').click();
    await list.locator('.now-item').getByRole('button', { name: 'Skip 5' }).click();
    await page.getByText('give the reason').waitFor();
    await list.locator('.now-item textarea').fill('entered before');
    await page.waitForTimeout(450);
    await list.locator('.now-item').getByRole('button', { name: 'Skip 5' }).click();
    await page.waitForTimeout(450);
    assert.equal((await outbox(page)).length, 5, 'five items are on the phone');
    assert.equal(await list.locator('.done-list li').count(), 5);
    await list.getByRole('button', { name: '6 is done' }).waitFor();
    // A key and a link that only the workshop's PC can answer: the page stays, and says why.
    const address = page.url();
    await page.getByRole('link', { name: 'Watch the chart' }).click();
    await page.getByText('this page stays').first().waitFor();
    assert.equal(page.url(), address);
    await page.context().setOffline(false);
    for (let n = 0; n < 100 && (await outbox(page)).length > 0; n++) await page.waitForTimeout(200);
    const file = await (await page.request.get(`${program.address}/trials/1/file`)).json();
    const items = file.entries.filter((e) => e.check?.startsWith('own-item-'));
    assert.deepEqual(items.map((e) => [Number(e.check.split('-').at(-1)), e.done, e.value ?? e.reason]), [
      [1, true, undefined], [2, true, undefined], [3, true, undefined], [4, true, 'blue and steady'], [5, false, 'entered before'],
    ]);
    assert.ok(items.every((e) => e.clock === 'device'), 'each at its own time');
    // In ink now, as the server shows it, and still open under the hand.
    await list.locator('.done-list .saved').nth(4).waitFor();
    await list.getByRole('button', { name: '6 is done' }).click();
    await list.getByRole('button', { name: /read and done, 5 of 6/ }).waitFor();
    await page.waitForTimeout(450);
    await list.getByRole('button', { name: /read and done, 5 of 6/ }).click();
    await page.getByText('list complete').or(page.getByText('5 of 6')).first().waitFor();
    console.log(`list in a dead spot: items ${items.length}, outbox ${(await outbox(page)).length}, page left 0 times`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
