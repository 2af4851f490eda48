// The trial page in a real browser, led line by line by tests/replay: each line asks for one thing and is answered with what
// then stands on the screen. Not a test of its own.
import { createInterface } from 'node:readline';
import { chromium } from 'playwright-core';

const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: FLAGS });
let page = null;

const asks = {
  async open({ address }) {
    if (page) await page.context().close();
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });
    context.setDefaultTimeout(20_000);
    page = await context.newPage();
    await page.goto(address);
  },
  /** The page hears the server's time and shows how things stand, as it does when it is looked at again. */
  async look({ address }) {
    if (!(await page.locator('body.with-script').count())) await page.goto(address);
    if (!(await page.locator('body.with-script').count())) return;
    const path = new URL(address).pathname;
    const told = [page.waitForResponse((r) => r.url().endsWith(`${path}/phones`)), page.waitForResponse((r) => new URL(r.url()).pathname === path)];
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await Promise.all(told);
    await page.waitForTimeout(60);
  },
  /** One entry by the page's own way: a form that is submitted, through the phone's outbox to the server. */
  async enter({ address, fields }) {
    const path = new URL(address).pathname;
    const answered = page.waitForResponse((r) => r.url().endsWith(`${path}/entries`) && r.request().method() === 'POST');
    await page.evaluate(([to, all]) => {
      const form = document.createElement('form');
      form.method = 'post';
      form.action = to;
      for (const [name, value] of all) {
        const box = document.createElement('input');
        [box.name, box.value] = [name, value];
        // As the page's boxes of figures are told from the rest.
        if (/_(bar|mm|ppm|c|g)$/.test(name)) box.dataset.figure = '';
        form.append(box);
      }
      const around = document.createElement('div');
      around.className = 'entry typed';
      around.append(form);
      document.body.append(around);
      form.requestSubmit();
      around.remove();
    }, [`${path}/entries`, [['key', crypto.randomUUID().replaceAll('-', '')], ...fields]]);
    const answer = await answered;
    if (answer.status() > 201) throw new Error(`${answer.status()}: ${await answer.text()}`);
    await page.waitForTimeout(80);
  },
  async seen() {
    await page.locator('#own-seen').click();
  },
};

const shown = () => page.evaluate(() => {
  const there = (el) => el.checkVisibility();
  const middle = document.elementFromPoint(innerWidth / 2, 160)?.closest('.stop-screen, .flagband');
  return {
    html: document.body.outerHTML,
    own: [...document.querySelectorAll('#own-stop')].filter(there).map((el) => `own ${el.dataset.rule}`)
      .concat([...document.querySelectorAll('.flagband.own')].filter(there).map((el) => `own ${el.querySelector('h2').textContent}`)),
    top: middle?.dataset.rule ?? middle?.querySelector('input[name=rule]')?.value ?? null,
  };
});

for await (const line of createInterface({ input: process.stdin })) {
  const ask = JSON.parse(line);
  try {
    await asks[ask.do](ask);
    process.stdout.write(`${JSON.stringify(await shown())}\n`);
  } catch (why) {
    process.stdout.write(`${JSON.stringify({ fault: String(why) })}\n`);
  }
}
await browser.close();
