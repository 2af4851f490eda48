// A list that is read and done goes on in a dead spot, and what only the workshop's PC can do leaves the page where it is.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, outbox, prepared, serve, tap } from './support.mjs';

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
    await Promise.all([page.waitForEvent('load'), list.getByRole('button', { name: /read and done, 5 of 6/ }).click()]);
    await page.getByText('list complete').or(page.getByText('5 of 6')).first().waitFor();
    console.log(`list in a dead spot: items ${items.length}, outbox ${(await outbox(page)).length}, page left 0 times`);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});

test('a picture on its way over a slow link delays no reading', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844 });
    await prepared(page, program.address);
    await page.getByRole('button', { name: 'It is lit already: record it' }).click();
    await page.locator('body.with-script').waitFor({ state: 'attached' });
    await tap(page, /^Seen/);
    await page.getByRole('button', { name: 'Figures' }).click();
    // As a phone's camera gives it: twelve megabytes, and hard to make smaller.
    const picture = Buffer.from(await page.evaluate(async () => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [4000, 3000];
      const pen = canvas.getContext('2d');
      const noise = pen.createImageData(4000, 3000);
      for (let n = 0; n < noise.data.length; n++) noise.data[n] = n % 4 === 3 ? 255 : Math.random() * 256;
      pen.putImageData(noise, 0, 0);
      const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.93));
      const bytes = new Uint8Array(await blob.arrayBuffer());
      let text = '';
      for (let at = 0; at < bytes.length; at += 32_768) text += String.fromCharCode(...bytes.subarray(at, at + 32_768));
      return btoa(text);
    }), 'base64');
    assert.ok(picture.length > 8_000_000, `${picture.length} bytes`);
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    await session.send('Network.emulateNetworkConditions', { offline: false, latency: 60, downloadThroughput: 50_000, uploadThroughput: 50_000 });
    await page.locator('#glass-picture').setInputFiles({ name: 'glass.jpg', mimeType: 'image/jpeg', buffer: picture });
    await page.getByText('1 picture on this phone').waitFor({ timeout: 30_000 });
    const waits = [];
    for (let n = 0; n < 12; n++) {
      await page.fill('#level_mm', String(40 - n));
      const begun = Date.now();
      await page.locator('form.entry button.save').click();
      for (let step = 0; step < 200; step++) {
        if ((await outbox(page)).length === 0) break;
        await page.waitForTimeout(20);
      }
      waits.push(Date.now() - begun);
      await page.waitForTimeout(450);
    }
    const under_way = (await page.locator('#pictures-left').innerText()) !== '';
    waits.sort((a, b) => a - b);
    console.log(`picture of ${(picture.length / 1e6).toFixed(1)} MB at 50 kB/s: readings kept after ${waits[6]} ms at the median, ${waits.at(-1)} ms at most; picture still under way ${under_way}`);
    assert.equal((await outbox(page)).length, 0, 'each reading was answered');
    await session.send('Network.emulateNetworkConditions', { offline: false, latency: 0, downloadThroughput: -1, uploadThroughput: -1 });
    await page.waitForFunction(() => document.getElementById('pictures-left').textContent === '', null, { timeout: 60_000 });
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
