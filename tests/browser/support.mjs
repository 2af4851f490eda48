// Starts the program as a person would, and a browser beside it.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const PROGRAM = process.env.GAUGEGLASS;
if (!PROGRAM) throw new Error('GAUGEGLASS must name the program to be tested');

const FLAGS = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
];

/** The program on a new data folder and a free port, unless one is given; `more` are words of its command line. */
export async function serve(folder, port = 0, more = []) {
  const own = folder ?? (await mkdtemp(join(tmpdir(), 'gaugeglass-')));
  const child = spawn(PROGRAM, ['--data', own, '--listen', `127.0.0.1:${port}`, ...more], { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await new Promise((found, failed) => {
    let out = '';
    child.stdout.on('data', (bytes) => {
      out += bytes;
      const said = out.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (said) found(said[0]);
    });
    child.on('exit', (code) => failed(new Error(`the program ended with ${code}: ${out}`)));
  });
  let ended;
  return {
    address,
    folder: own,
    pid: child.pid,
    /** Asks it to stop and answers its exit status. */
    stop() {
      ended ??= new Promise((done) => {
        child.removeAllListeners('exit');
        child.on('exit', done);
        child.kill('SIGTERM');
      });
      return ended;
    },
    /** Throws the data folder away. */
    forget: () => rm(own, { recursive: true, force: true }),
  };
}

/** A browser; every page in it fails the test when it logs an error or asks anything off this machine. */
export async function browse(flags = [], own = /^(http:\/\/127\.0\.0\.1:|data:|blob:)/) {
  const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...FLAGS, ...flags] });
  const faults = [];
  return {
    faults,
    async page({ width = 1280, height = 844, javaScriptEnabled = true, expect, ...more } = {}) {
      const context = await browser.newContext({ viewport: { width, height }, javaScriptEnabled, ...more });
      context.setDefaultTimeout(10_000);
      const page = await context.newPage();
      page.on('console', (said) => {
        const expected = /status of (409|422|404)/.test(said.text()) || expect?.test(said.text());
        if (said.type() === 'error' && !expected) faults.push(`${page.url()}: ${said.text()}`);
      });
      page.on('pageerror', (error) => faults.push(`${page.url()}: ${error}`));
      page.on('request', (request) => {
        if (!own.test(request.url())) faults.push(`asked ${request.url()}`);
      });
      return page;
    },
    stop: () => browser.close(),
  };
}

export const PARTICULARS = {
  'plant-working_pressure_bar': '4.0',
  'plant-glass-visible_mm': '60',
  'plant-glass-low_mark_mm': '12',
  'plant-glass-high_mark_mm': '48',
  'instruments-pressure-full_scale_bar': '6',
  'instruments-pressure-accuracy_class': '1',
  'instruments-pressure-resolution_bar': '0.1',
  'instruments-level-resolution_mm': '1',
};

/** A workshop with one steam trial, prepared; the page stands before its hold points. `more` are further particulars. */
export async function prepared(page, address, more = {}) {
  await page.goto(address);
  await page.fill('#name', 'Test Works');
  await page.fill('#owner', 'A. Tester');
  await page.locator('form[action="/start/empty"] button').click();
  await page.getByRole('link', { name: 'Book a job in' }).first().click();
  await page.fill('#plant_name', 'Wren, launch plant');
  await page.fill('#customer_name', 'Mr Example');
  await page.getByRole('button', { name: 'Book it in' }).click();
  await page.getByRole('link', { name: 'Prepare a trial' }).click();
  await page.fill('#question', 'Does it hold its water?');
  for (const [id, value] of Object.entries({ ...PARTICULARS, ...more })) await page.fill(`#${id}`, value);
  await page.getByRole('button', { name: 'Prepare the trial' }).click();
  await page.getByText('Before the fire').first().waitFor();
}

/** Says that the fire is lit already; the page of the running trial stands, with its script. */
export async function lit(page) {
  await page.getByRole('button', { name: 'It is lit already: record it' }).click();
  await page.locator('body.with-script').waitFor({ state: 'attached' });
}

/**
 * A steam trial that is lit, on the page of a phone, and nothing else: `act` gets the page, the program and the browser, which
 * must not have found a fault. `particulars` are further ones of the plant, the rest goes to the browser's page.
 */
export async function atATrial(act, { particulars = {}, ...more } = {}) {
  const program = await serve();
  const browser = await browse();
  try {
    const page = await browser.page({ width: 390, height: 844, serviceWorkers: 'block', ...more });
    await prepared(page, program.address, particulars);
    await lit(page);
    await page.waitForTimeout(600);
    await act(page, program, browser);
    assert.deepEqual(browser.faults, []);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
}

/** Enters something by another way than this page's own, which hears of it as of any other hand. */
export function byAnotherHand(page, fields) {
  return page.evaluate(async (all) => {
    const body = new URLSearchParams({ ...all, key: crypto.randomUUID() });
    const at = location.pathname.replace(/\/watch$/, '');
    const answer = await fetch(`${at}/entries`, { method: 'POST', body, headers: { accept: 'application/json' } });
    return answer.status;
  }, fields);
}

/** Presses every visible key of that name, as long as there is one. */
export async function tap(page, name) {
  for (let n = 0; n < 6; n++) {
    await page.waitForTimeout(500);
    const key = page.getByRole('button', { name }).first();
    if (!(await key.isVisible().catch(() => false))) return;
    await key.click();
  }
}

/** Enters a level on the drawn glass. */
export async function water(page, mm) {
  const panel = page.locator('#water-here');
  await page.evaluate((to) => {
    const tube = document.querySelector('[data-visible] svg');
    const box = tube.getBoundingClientRect();
    const high = tube.viewBox.baseVal.height;
    const y = 8 + (1 - to / Number(document.getElementById('water-here').dataset.visible)) * (high - 16);
    const at = { bubbles: true, clientX: box.left + box.width / 2, clientY: box.top + (y / high) * box.height };
    tube.dispatchEvent(new PointerEvent('pointerdown', at));
    tube.dispatchEvent(new PointerEvent('pointerup', at));
  }, mm);
  await panel.locator('.here-key', { hasText: `Water here ${mm} mm` }).waitFor();
  await panel.locator('.here-key').click();
}

/** What lies in this phone's store; refused where the page has not made it yet, for then it is not made here either. */
export function outbox(page) {
  return page.evaluate(() => new Promise((good, bad) => {
    const asked = indexedDB.open('gaugeglass');
    asked.onupgradeneeded = () => asked.transaction.abort();
    asked.onerror = () => bad(asked.error);
    asked.onsuccess = () => {
      const all = asked.result.transaction('outbox').objectStore('outbox').getAll();
      all.onsuccess = () => {
        asked.result.close();
        good(all.result);
      };
    };
  }));
}
