// Trying: with water, then on steam twice; the first time the water goes, the second time it ends as it should.
import assert from 'node:assert/strict';
import { day } from './hand.mjs';

const GAUGE = {
  'instruments-pressure-id': 'G 9', 'instruments-pressure-full_scale_bar': '16', 'instruments-pressure-accuracy_class': '0.6',
  'instruments-pressure-resolution_bar': '0.05', 'instruments-pressure-calibrated_on': day(-60), 'instruments-pressure-calibration_due': day(300),
};

/** That nothing structural was done since the newest water test, which the page has found by itself. */
async function onOurOwnTest(hand) {
  assert.equal(await hand.page.inputValue('#plant-hydraulic_pass-on'), day(0), 'our own water test stands there already');
  assert.equal(await hand.page.inputValue('#plant-hydraulic_pass-pressure_bar'), '8.20');
  await hand.fill({ 'plant-hydraulic_pass-since_structural_work': /^yes/ });
}

async function prepare(hand, job, kind, values) {
  await hand.open(job);
  await hand.follow('Prepare a trial');
  if (kind) await hand.follow(kind);
  else await onOurOwnTest(hand);
  await hand.fill(values);
  await hand.send('Prepare the trial', hand.page.locator('p.keys'));
  assert.match(hand.at(), /^\/trials\/\d+$/);
  await hand.sees('0 of');
}

/** Every hold point, each signed with what was seen; one that the program will not let be signed fails the story. */
async function sign(hand) {
  for (let n = 1; n < 12; n++) {
    const item = hand.page.locator('.now-item:has(input[name=check])');
    if (!(await item.count())) return event(hand, /^[A-Z].* complete/);
    assert.equal(await item.getByText('It cannot be signed').count(), 0, await hand.words(item));
    const typed = item.locator('input[name=value]');
    if (await typed.count()) await typed.fill((await item.getByText('mm', { exact: true }).count()) ? '36' : '100.0 mm across');
    const key = item.locator('form').first().getByRole('button').first();
    assert.ok(await key.isVisible(), await hand.words(item));
    await key.click();
    await hand.sees(new RegExp(`${n} of \\d signed|nothing entered yet|saved \\d`));
    await hand.page.waitForTimeout(150);
  }
  throw new Error('the hold points never end');
}

async function read(hand, values) {
  await hand.enter(async () => {
    const figures = hand.page.getByRole('button', { name: 'Figures' });
    if (await figures.isVisible()) await figures.click();
    for (const [id, value] of Object.entries(values)) await hand.page.fill(`#${id}`, value);
    await hand.page.locator('form.entry button.save').click();
  });
}

async function event(hand, name) {
  await hand.enter(async () => {
    const key = hand.page.getByRole('button', { name, exact: typeof name === 'string' });
    if (!(await key.first().isVisible())) await hand.page.locator('summary', { hasText: 'More events' }).first().click();
    for (const one of await key.all()) if (await one.isVisible()) return one.click();
    throw new Error(`no key ${name} on ${hand.page.url()}`);
  });
}

async function close(hand, answer, note) {
  const trial = hand.at();
  await hand.open(`${trial}/close`);
  for (const box of await hand.page.locator('input[name^=down-]').all()) await box.check();
  await hand.page.check(`input[name=answer][value=${answer}]`);
  await hand.fill({ note, sign: true });
  await hand.send('Close and seal the record');
  assert.equal(hand.at(), `${trial}/record`);
  await hand.sees(note, 'A. Tester');
}

/** Twice working pressure with water. */
export async function waterTest(hand, job) {
  await prepare(hand, job, /water|hydraulic/i, {
    question: 'Is the shell sound at 8 bar?', ...GAUGE, 'limits-hydraulic_hold_s': '60',
    'instruments-temperature-id': 'T 3', 'instruments-temperature-accuracy_c': '0.05', 'instruments-temperature-resolution_c': '0.01',
    'instruments-temperature-repeatability_c': '0.01',
  });
  const trial = hand.at();
  await hand.send(/^It is so: note it ?: safety valve off/i, hand.part('for-now'));
  await hand.sees(hand.part('for-now'), /for now safety valve off, its bush plugged/i);
  await sign(hand);
  for (const [pressure_bar, pumped_ml] of [['0', '0'], ['4.1', '1.2'], ['8.2', '2.3']]) await read(hand, { pressure_bar, pumped_ml, water_c: '16.12' });
  await event(hand, 'Hold started');
  await read(hand, { pressure_bar: '8.2', water_c: '16.12' });
  await hand.page.waitForTimeout(61_000);
  await read(hand, { pressure_bar: '8.2', water_c: '16.12' });
  await event(hand, 'Hold ended');
  await event(hand, 'Pressure is gone');
  await hand.open(`${trial}/close`);
  await hand.sees('1 of what this test left off or plugged is not put back');
  await hand.send(/^Put back ?: safety valve/i, hand.part('for-now'));
  await hand.sees(hand.part('for-now'), 'put back');
  await hand.open(trial);
  await close(hand, 'yes', 'No weep at any seam.');
  await hand.sees(/pass/i, '8.20 bar');
}

/** The water goes out of sight: the fire comes out, a defect is made of the stop. */
export async function cutShort(hand, job) {
  await prepare(hand, job, null, { question: 'Does the pump hold the water at 3 bar?', ...GAUGE });
  await sign(hand);
  await event(hand, 'Fire lit');
  await read(hand, { pressure_bar: '1.5', level_mm: '36' });
  await read(hand, { pressure_bar: '2.4', level_mm: '30' });
  await hand.enter(() => hand.page.getByRole('button', { name: /^BELOW/ }).first().click());
  await hand.sees(/FIRE ?OUT/i, /DO NOT ?FEED/i);
  await event(hand, /put the fire out/i);
  await event(hand, 'Pressure is gone');
  const flag = hand.page.locator('#flags tr', { hasText: 'No water seen in the glass' });
  await flag.getByRole('button', { name: /Make it a defect/ }).first().click();
  await hand.sees('made defect');
  await close(hand, 'no', 'The water went within a minute.');
  await hand.sees(/fail/i, 'water-out-of-sight');
  await hand.open(job);
  await hand.sees(hand.part('defects'), 'trial 2');
}

/** On steam to working pressure; the valve lifts and shuts, the fire comes out, the list is gone through. */
export async function asItShould(hand, job) {
  await prepare(hand, job, null, { question: 'Does it steam, and does the valve lift at 4 bar?', change: 'new ball in the check valve', ...GAUGE });
  await sign(hand);
  await event(hand, 'Fire lit');
  for (const [pressure_bar, level_mm] of [['1.0', '36'], ['2.2', '36'], ['3.4', '35'], ['4.0', '35'], ['4.0', '35']]) {
    await read(hand, { pressure_bar, level_mm });
  }
  await event(hand, 'Valve lifted');
  await event(hand, /Valve (reseated|shut again|shut)/);
  await event(hand, /put the fire out/i);
  await event(hand, 'Pressure is gone');
  await close(hand, 'yes', 'It steams, and the valve lifts.');
  await hand.sees(/not proven/i, 'Working pressure was held for');
  await hand.lacks('Stop, water-out-of-sight');
}
