// What the phone does by itself, without a browser: its judging beside the server's, its reading of figures beside the
// server's, its clock. The parts of the script are read as they are served.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';

const part = (name) => readFileSync(new URL(`../../static/hand/${name}`, import.meta.url), 'utf8');
const load = (names, wanted) => new Function(`${names.map(part).join('\n')}\nreturn { ${wanted} };`)();
const { judge, decimal, reckonClock } = load(['1-words.js', '2-clock.js', '3-judge.js'], 'judge, decimal, reckonClock');
const written = JSON.parse(readFileSync(new URL('offline-cases.json', import.meta.url), 'utf8'));
const cases = written.filter((c) => c.server_stop_ms);
const dead_spots = written.filter((c) => c.calm_until_ms);

const WATER = /^(water-|reading-overdue)/;

/** When the phone first cries stop about the water, ms; null where it does not within the case. */
function firstCry({ known, entered, server_stop_ms: end }) {
  const already = new Set(known.stands.filter((f) => f.severity === 'stop').map((f) => f.rule));
  for (let at = known.now_ms; at <= end; at += 5000) {
    const { found } = judge(known, entered.filter((e) => e.at_ms <= at), at);
    if (found.some((f) => f.severity === 'stop' && WATER.test(f.rule) && !already.has(f.rule))) return at;
  }
  const { found } = judge(known, entered.filter((e) => e.at_ms <= end), end);
  return found.some((f) => f.severity === 'stop' && WATER.test(f.rule)) ? end : null;
}

test('without a link the phone cries no later than the server would', () => {
  const late = [];
  const sooner = [];
  for (const one of cases) {
    const cry = firstCry(one);
    if (cry === null) late.push(`seed ${one.seed}, ${one.server_rule}`);
    else sooner.push((one.server_stop_ms - cry) / 1000);
  }
  sooner.sort((a, b) => a - b);
  console.log(`phone beside server: ${cases.length} cases, later ${late.length}, sooner by ${sooner[sooner.length >> 1]} s at the median, ${sooner.at(-1)} s at most`);
  assert.deepEqual(late, []);
});

test('in ten minutes without a link, where nothing is wrong, the phone seldom cries', () => {
  let [stopped, warned] = [0, 0];
  for (const { known, entered, calm_until_ms: end } of dead_spots) {
    const cries = new Set();
    for (let at = known.now_ms; at <= end; at += 5000) {
      for (const f of judge(known, entered.filter((e) => e.at_ms <= at), at).found) cries.add(f.severity);
    }
    if (cries.has('stop')) stopped++;
    else if (cries.has('caution')) warned++;
  }
  console.log(`phone by itself where nothing is wrong: ${dead_spots.length} dead spots of 10 min, a stop in ${stopped}, no more than a caution in ${warned}`);
  assert.ok(dead_spots.length >= 40);
  assert.ok(stopped <= dead_spots.length / 10 && warned <= dead_spots.length / 3);
});

test('a phone that is told of no fall and sees none does not cry', () => {
  const base = cases[0].known;
  const known = { ...base, runway_s: null, stands: [], waters: [0, 60, 120].map((s) => ({ at_ms: base.now_ms - 120_000 + s * 1000, mm: 30, seen: null })) };
  for (let s = 0; s < 290; s += 10) {
    const { found } = judge(known, [], base.now_ms + s * 1000);
    assert.deepEqual(found, [], `after ${s} s`);
  }
  const late = judge(known, [], base.now_ms + 601_000).found;
  assert.deepEqual(late.map((f) => `${f.rule} ${f.severity}`), ['reading-overdue stop']);
});

test('marks and limits are judged as they are read, and with the water out of sight nothing else of the water is said', () => {
  const base = { ...cases[0].known, runway_s: null, stands: [], waters: [] };
  const at = base.now_ms + 1000;
  const rules = (reading) => judge(base, [{ at_ms: at, reading }], at).found.map((f) => f.rule);
  assert.deepEqual(rules({ level_mm: base.low_mm }), ['water-below-mark']);
  assert.deepEqual(rules({ level_mm: base.low_mm + 5 }), []);
  assert.deepEqual(rules({ level_seen: 'below' }), ['water-out-of-sight']);
  assert.deepEqual(rules({ level_mm: 30, level_second_seen: 'below' }), ['water-out-of-sight']);
  assert.deepEqual(rules({ level_mm: 30, pressure_bar: base.stop_bar + 0.05 }), ['pressure-high']);
  assert.deepEqual(rules({ level_mm: 30, pressure_bar: base.stop_bar }), []);
  assert.deepEqual(rules({ level_mm: 30, co_ppm: base.co_stop_ppm }), ['carbon-monoxide']);
});

test('a figure is read as the server reads it, to the last zero, or refused', () => {
  const taken = [['3,2', '3.2'], [' 32 ', '32'], ['3.20', '3.20'], ['3.200', '3.200'], ['0,200', '0.200'], ['.5', '0.5'], ['007', '7'],
    ['0', '0'], ['00', '0'], ['12', '12'], ['12.0', '12.0'], [',5', '0.5'], ['1,25', '1.25'], ['1,2', '1.2'], ['000.1', '0.1'],
    ['9999', '9999'], ['10,0', '10.0'], ['0.001', '0.001'], ['45,', null], ['6.', null], ['2 ', '2'], ['\t4', '4'], ['100', '100'],
    ['1234.5', '1234.5'], ['0,5', '0.5'], ['5,50', '5.50'], ['3.14159', '3.14159'], ['0.0', '0.0'], ['0,000', '0.000'], ['20', '20']];
  const signed = [['\u22121', '-1'], ['-0.5', '-0.5'], ['-12,5', '-12.5'], ['\u22120,25', '-0.25']];
  const refused = ['3.2.', '3,200', '1,234.5', '1e3', '٣٫٢', '', ' ', '3.', '-', '--1', '3 2', '12mm', 'NaN', 'inf', '+3', '1/2', '0x10', '3·2', "3'200", '½', '１２', '.', ',', '1..2', '5,,0', '-1'];
  let changed = 0;
  for (const [typed, kept] of taken) {
    const read = decimal(typed, false);
    if (kept === null) assert.ok(read.says, typed);
    else if (read.figure !== kept) changed++;
  }
  for (const [typed, kept] of signed) if (decimal(typed, true).figure !== kept) changed++;
  for (const typed of refused) assert.ok(decimal(typed, false).says, `${typed} was taken`);
  console.log(`figures: ${taken.length + signed.length + refused.length} typed, silently changed ${changed}`);
  assert.equal(changed, 0);
  let trips = 0;
  for (let n = 0; n < 100_000; n++) {
    const figure = (Math.floor(Math.random() * 1e7) / 10 ** Math.floor(Math.random() * 5)).toFixed(Math.floor(Math.random() * 4));
    if (decimal(figure, false).figure !== figure) trips++;
  }
  assert.equal(trips, 0, 'what is canonical stays as it is');
});

test('the clock follows the server through a wrong clock, a clock that is set, and a sleep', () => {
  let [wall, mono] = [1_000_000, 0];
  const clock = reckonClock(() => wall, () => mono);
  const pass = (ms) => ((wall += ms), (mono += ms));
  // The server is 3 h ahead of this phone; the answer took 80 ms.
  clock.told(11_800_000, 0, 80);
  pass(80);
  assert.ok(Math.abs(clock.now().at - (11_800_040)) <= 40);
  assert.equal(clock.now().u, 40);
  pass(60_000);
  assert.equal(clock.jumped(), false);
  const before = clock.now().at;
  // Somebody sets the phone an hour on: the server's time is not moved by it.
  wall += 3_600_000;
  assert.equal(clock.now().at, before);
  assert.equal(clock.jumped(), true);
  // Asleep: the steady clock stands, the wall goes on.
  const other = reckonClock(() => wall, () => mono);
  other.told(20_000_000, mono, mono);
  other.slept();
  wall += 190_000;
  assert.ok(Math.abs(other.now().at - 20_190_000) <= 1000, 'a countdown is right within a second of waking');
  assert.equal(other.jumped(), false);
});

test('a look is called for when it is due and louder at half its time again, also after a sleep, and each minute', async () => {
  const base = cases[0].known;
  const lit = base.now_ms;
  const known = { ...base, hot: true, has_fire: true, hot_ms: lit, runway_s: null, stands: [], waters: [{ at_ms: lit, mm: 30, seen: null }] };
  const calls = async (every_s, wakes, to_s) => {
    const heard = [];
    let wall = lit;
    const tones = { state: 'running', currentTime: 0, destination: {}, resume: async () => {} };
    tones.createOscillator = () => ({ frequency: {}, connect: (to) => to, start: () => {}, stop: () => {} });
    tones.createGain = () => ({ gain: { setValueAtTime: (loud) => loud && heard.push([(wall - lit) / 1000, loud]) }, connect: () => {} });
    const parts = ['1-words.js', '2-clock.js', '3-judge.js', '5-alarm.js'].map(part).join('\n');
    const { makeAlarm, judge: judges } = new Function('window', 'navigator', 'Date', `${parts}\nreturn { makeAlarm, judge };`)(
      { AudioContext: function () { return tones; } }, {}, { now: () => wall });
    let armed;
    const alarm = makeAlarm({ classList: { toggle() {} }, addEventListener: (_, act) => (armed = act) }, { addEventListener() {} });
    await armed();
    heard.length = 0;
    for (let s = 0; s <= to_s; s += 0.5) {
      if (s > wakes[0] && s < wakes[1]) continue;
      wall = lit + s * 1000;
      const { next, louder, found } = judges({ ...known, every_s }, [], wall);
      const stop = found.find((f) => f.severity === 'stop');
      alarm.calls(next, louder, wall, stop);
    }
    return heard;
  };
  const first = (heard, loud) => heard.find(([, how]) => how >= loud)?.[0];
  const awake = await calls(120, [0, 0], 239);
  const [due, louder] = [first(awake, 0.01), first(awake, 1)];
  const slept = await calls(120, [60, 200], 205);
  const minutes = [...new Set((await calls(600, [0, 0], 1150)).filter(([, how]) => how === 1).map(([s]) => s))];
  console.log(`a look due after 120 s: called after ${due} s, louder after ${louder} s; asleep from 60 to 200 s: louder after ${first(slept, 1)} s`);
  assert.ok(Math.abs(due - 120) <= 1, `${due}`);
  assert.ok(Math.abs(louder - 180) <= 1, `${louder}`);
  assert.ok(Math.max(...awake.filter(([s]) => s < 179).map(([, how]) => how)) < 1, 'softer before');
  assert.ok(first(slept, 1) - 200 <= 1);
  assert.deepEqual(minutes, [900, 960, 1020, 1080, 1140], 'once a minute');
});
