// A hand on the program: it fills in, chooses, presses and follows what the page shows, and reads what it says.
// With script and without it is the same hand.
import assert from 'node:assert/strict';
import { outbox } from '../support.mjs';

const ENOUGH_MS = 8000;

export class Hand {
  constructor(page, address, scripted) {
    Object.assign(this, { page, address, scripted });
  }

  /** Goes where a link of this page leads; only the first page of all is typed in. */
  async follow(name, within = this.page) {
    await within.getByRole('link', { name, exact: typeof name === 'string' }).first().click();
  }

  async open(path) {
    await this.page.goto(this.address + path);
  }

  /** The path of this page. */
  at() {
    return new URL(this.page.url()).pathname;
  }

  /** Fills in boxes by their ids: words, a day, one of a list by its words, or a tick. */
  async fill(values, within = this.page) {
    for (const [id, value] of Object.entries(values)) {
      const box = within.locator(`[id="${id}"]`);
      const kind = await box.evaluate((b) => (b.tagName === 'SELECT' ? 'pick' : b.type));
      if (kind === 'pick') await this.choose(box, value);
      else if (kind === 'checkbox') await box.setChecked(value);
      else await box.fill(value);
    }
  }

  /** Chooses the line of a list whose words are these, or match. */
  async choose(box, wanted) {
    const lines = await box.locator('option').allInnerTexts();
    const fits = (line) => (wanted instanceof RegExp ? wanted.test(line) : line.trim() === wanted);
    const found = lines.findIndex(fits);
    assert.ok(found >= 0, `${this.at()}: no “${wanted}” to choose of: ${lines.join(' | ')}`);
    await box.selectOption({ index: found });
  }

  async press(name, within = this.page) {
    await within.getByRole('button', { name, exact: typeof name === 'string' }).first().click();
  }

  /** Presses and waits until the page that follows is there. */
  async send(name, within = this.page) {
    await Promise.all([this.page.waitForEvent('framenavigated'), this.press(name, within)]);
    await this.page.waitForLoadState();
  }

  /** A section of the page by its id. */
  part(id) {
    return this.page.locator(`[id="${id}"]`);
  }

  /** What is read on the page, blanks as one. */
  async words(within = this.page.locator('body')) {
    return (await within.innerText()).replace(/\s+/g, ' ');
  }

  /** Each of these words is read on the page, or in a part of it, before long. */
  async sees(...wanted) {
    const within = typeof wanted[0] === 'object' && !(wanted[0] instanceof RegExp) ? wanted.shift() : this.page.locator('body');
    const until = Date.now() + ENOUGH_MS;
    for (const one of wanted) {
      const fits = (text) => (one instanceof RegExp ? one.test(text) : text.includes(one));
      let text = '';
      do {
        text = await this.words(within).catch(() => '');
        if (fits(text)) break;
        await this.page.waitForTimeout(100);
      } while (Date.now() < until);
      assert.ok(fits(text), `${this.page.url()} does not say “${one}”:\n${text}`);
    }
  }

  async lacks(...unwanted) {
    const text = await this.words();
    for (const one of unwanted) assert.ok(!text.includes(one), `${this.page.url()} says “${one}”:\n${text}`);
  }

  /** Enters something on a trial's page and waits until the program has it; with script it goes by way of the phone's store. */
  async enter(act) {
    const before = this.page.url();
    await act();
    if (!this.scripted) {
      await this.page.waitForLoadState();
      return;
    }
    const until = Date.now() + ENOUGH_MS;
    do await this.page.waitForTimeout(150);
    while (Date.now() < until && (await outbox(this.page).catch(() => ['not opened'])).length > 0);
    assert.deepEqual(await outbox(this.page), [], 'what was entered stays on the phone');
    await this.page.goto(before);
    await this.page.locator('body.with-script').waitFor({ state: 'attached' });
  }

  /** Takes a picture of the page itself, and adds it where this page offers to. */
  async picture(caption, within = this.page) {
    const taken = await this.page.screenshot({ type: 'jpeg', clip: { x: 0, y: 0, width: 240, height: 180 } });
    await this.follow('Add a picture', within);
    await this.page.setInputFiles('#chosen', { name: 'taken.jpg', mimeType: 'image/jpeg', buffer: taken });
    await this.fill({ caption });
    await this.send('Keep it');
    await this.sees(caption);
  }
}

/** A day so many days from today, as a box for a day takes it. */
export function day(days, years = 0) {
  const d = new Date();
  d.setDate(d.getDate() + days);
  d.setFullYear(d.getFullYear() + years);
  const two = (n) => String(n).padStart(2, '0');
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}
