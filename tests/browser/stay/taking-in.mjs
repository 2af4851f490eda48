// Taking in: whose it is, what came, in which state, its papers, its particulars, the receipt.
import assert from 'node:assert/strict';
import { day } from './hand.mjs';

const COMPONENTS = [
  ['+ boiler', {
    working_pressure_bar: '4', shell_material: 'copper', volume_ml: '2000',
    'shell.bore_mm': '100', 'shell.wall_mm': '2.5', water_seen_by: 'one glass',
  }],
  ['+ glass', { 'glass.visible_mm': '60', 'glass.low_mark_mm': '12', 'glass.high_mark_mm': '48' }],
  ['+ safety valve', { 'safety_valve.set_bar': '4' }],
  ['+ feed pump', { name: 'Crosshead pump', 'feed_pump.drive': 'crosshead', 'feed_pump.bore_mm': '6' }],
  ['+ engine', { name: 'Twin engine' }],
];

/** The workshop opened, and the plant booked in with its new customer. Answers the job's path. */
export async function bookIn(hand) {
  await hand.open('/');
  await hand.fill({ name: 'Test Works', owner: 'A. Tester' });
  await hand.send(/./, hand.page.locator('form[action="/start/empty"]'));
  await hand.follow('Book a job in');
  await hand.fill({
    plant_name: 'Siskin, launch plant', boiler_mark: 'S 7', customer_name: 'Mrs Example',
    telephone: '0555 21\n0555 22', email: 'siskin@example.org', letter: '3 Pond Row\nFennel', prefers: 'e-mail',
    agreed: true, steam_to_bar: '4,0', words: 'It primes & the pump has stopped pumping.',
    condition: 'Sooted, lagging loose.', contents: 'plant\nspare jet\ntin of nuts',
    came_in_on: day(-20), promised_on: day(40),
  });
  await hand.send('Book it in');
  assert.match(hand.at(), /^\/jobs\/\d\d-001$/);
  await hand.sees('e-mail siskin@example.org first', 'agreed with Mrs Example: up to 4.0 bar');
  await hand.sees('It primes & the pump has stopped pumping.', 'Sooted, lagging loose.', 'spare jet');
  return hand.at();
}

/** What the plant is made of, and the paper that came with it. */
export async function particulars(hand, job) {
  await hand.follow('Siskin, launch plant');
  const plant = hand.at();
  for (const [link, values] of COMPONENTS) {
    await hand.follow(link);
    await hand.fill(values);
    await hand.send('Save');
  }
  await hand.sees(hand.part('components'), 'Working pressure, gauge 4', 'Crosshead pump', 'Twin engine');
  await hand.follow('Write down a paper');
  await hand.fill({
    kind: /water test|hydraulic/, number: 'C 118', by_whom: 'the club', pressure_bar: '8',
    on_day: day(-200), valid_until: day(165), note: 'typed, one sheet',
  });
  await hand.send('Save');
  await hand.picture('the paper as it came');
  await hand.open(plant);
  await hand.sees(hand.part('papers'), 'C 118', 'the club', '8');
  await hand.open(job);
}

/** Pictures of the state it came in, and the receipt that goes back with the customer. */
export async function receipt(hand, job) {
  await hand.picture('the lagging as it came', hand.part('pictures'));
  await hand.open(job);
  await hand.follow('The receipt');
  await hand.sees('From Mrs Example: Siskin, launch plant, the boiler marked S 7', '“It primes & the pump has stopped pumping.”',
    'tin of nuts', 'It may be steamed here up to: 4.0 bar, as Mrs Example agreed', 'Sooted, lagging loose.', 'C 118', '8 bar', 'the lagging as it came', 'agreed');
  await hand.follow('Back to the job');
}
