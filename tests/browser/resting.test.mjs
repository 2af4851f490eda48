// A hand that rests on the phone, or a press that the page never sees the end of: it holds nothing back for long.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { atATrial, byAnotherHand, tap, water } from './support.mjs';

for (const button of ['left', 'right']) {
  test(`a stop takes the screen though the ${button} key rests on the page`, () => atATrial(async (page) => {
    await water(page, 30);
    await tap(page, /^Seen/);
    await page.waitForTimeout(600);
    assert.equal(await page.locator('.stop-screen').isVisible(), false);
    await page.mouse.move(195, 30);
    await page.mouse.down({ button });
    const entered = Date.now();
    // Another hand enters it; this phone hears of it.
    const answered = await byAnotherHand(page, { what: 'reading', level_seen: 'below', pressure_bar: '2.5' });
    assert.equal(answered, 201);
    const screen = page.locator('.stop-screen');
    for (let n = 0; n < 100 && !(await screen.isVisible()); n++) await page.waitForTimeout(50);
    const after = Date.now() - entered;
    assert.ok(await screen.isVisible(), 'the stop is not shown while something rests on the page');
    assert.match(await screen.innerText(), /DO NOT\s*FEED/i);
    console.log(`resting, ${button} key: the stop shown after ${after} ms`);
    await page.mouse.up({ button });
  }));
}
