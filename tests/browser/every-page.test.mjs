// Every page of the example workshop: reachable, fits its screen, breaks no rule of accessibility.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { browse, serve } from './support.mjs';

const AXE = await readFile(new URL('./node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');

/** A page like another but for its numbers need not be looked at many times over. */
const EACH = 2;

/** The addresses that links lead to from the bench, at most two of a shape. */
async function addresses(page, start) {
  const found = new Set(['/']);
  const shapes = new Map();
  for (const path of found) {
    await page.goto(start + path);
    const links = await page.locator('a[href^="/"]').evaluateAll((all) => all.map((a) => a.getAttribute('href')));
    for (const link of links) {
      const path = link.split('#')[0];
      const shape = path.replace(/\d+(-\d+)?/g, 'N').replace(/(reckoner\/)[a-z-]+/, '$1R');
      if (!path || found.has(path) || (shapes.get(shape) ?? 0) >= EACH) continue;
      shapes.set(shape, (shapes.get(shape) ?? 0) + 1);
      if (!/^\/assets\/|\.jpg$/.test(path)) found.add(path);
    }
  }
  return [...found];
}

test('every page of the example workshop fits and is accessible', async () => {
  const program = await serve();
  const browser = await browse();
  const faults = [];
  try {
    const desk = await browser.page({ width: 1280, height: 900 });
    await desk.goto(program.address);
    await desk.locator('form[action="/start/example"] button').click({ timeout: 60_000 });
    const all = await addresses(desk, program.address);
    assert.ok(all.length > 30, `only ${all.length} pages found`);
    const ofTrials = all.filter((path) => /^\/(trials|looks)\b|\/trials\//.test(path));
    for (const [width, height, paths] of [[360, 780, all], [1280, 900, all], [320, 700, ofTrials], [412, 860, ofTrials]]) {
      const page = await browser.page({ width, height });
      for (const path of paths) {
        await page.goto(program.address + path);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        if (wide > width) faults.push(`${path} at ${width}: ${wide} px wide`);
        const twice = await page.evaluate(() => [...document.querySelectorAll('[id]')].map((e) => e.id).filter((id, n, all) => all.indexOf(id) !== n));
        if (twice.length) faults.push(`${path}: more than one #${twice.join(', #')}`);
        await page.evaluate(AXE);
        const { violations } = await page.evaluate(() => globalThis.axe.run());
        for (const v of violations) {
          faults.push(`${path} at ${width}: ${v.id}: ${v.nodes.map((n) => n.target.join(' ')).slice(0, 3).join(', ')}`);
        }
      }
    }
    console.log(`every page: ${all.length} pages at 360 and 1280 px, ${ofTrials.length} of trials at 320 and 412 px too, faults ${faults.length}`);
    assert.deepEqual(faults, []);
    assert.deepEqual(browser.faults, []);
  } finally {
    await browser.stop();
    await program.stop();
    await program.forget();
  }
});
