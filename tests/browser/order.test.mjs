// Answers that come in another order than they were asked for, as over a poor link: what is newer stays on the screen.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { browse, prepared, serve, water } from './support.mjs';

test('an older page that arrives late never goes over a newer one', async () => {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, serviceWorkers: 'block' });
    await prepared(page, program.address);
    await page.getByRole('button', { name: 'It is lit already: record it' }).click();
    await page.locator('body.with-script').waitFor({ state: 'attached' });
    await page.waitForTimeout(600);
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
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
