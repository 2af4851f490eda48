// Examination, component by component: what was found, sound or with its defect; what is done for now, the pieces off the plant.
import assert from 'node:assert/strict';
import { day } from './hand.mjs';

const DEFECTS = [
  ['The cross-head pin rattles', 'watch', 'Twin engine', 'make a pin'],
];

/** Component by component: what was found, and how it came out; a picture in the same press. */
const FOUND = [
  ['boiler', 'Sooted, every seam dry', 'Sound'],
  ['glass', 'Both cocks clear, rings hard', 'Sound'],
  ['safety valve', 'Lifted by hand, slow to come back', 'It has this defect', 'The safety valve sticks', 'no steam'],
  ['Crosshead pump', 'Turns freely; the ball is pitted', 'It has this defect', 'The check valve of the pump passes back', 'no handover'],
];

async function examineEach(hand, job) {
  await hand.follow('examined 0 of 5 components');
  for (const [component, finding, outcome, what, bar] of FOUND) {
    await hand.follow(new RegExp(`^Next to examine: ${component}$`, 'i'));
    await hand.fill({ finding, ...(what ? { what, bar } : {}) });
    if (component === 'Crosshead pump') {
      const taken = await hand.page.screenshot({ type: 'jpeg', clip: { x: 0, y: 0, width: 240, height: 180 } });
      await hand.page.setInputFiles('#taken', { name: 'ball.jpg', mimeType: 'image/jpeg', buffer: taken });
    }
    await hand.send(outcome);
    await hand.sees(new RegExp(`saved ${component}, `, 'i'), finding, ...(what ? [what] : []));
  }
  await hand.sees('examined 4 of 5 components', 'Next to examine: Twin engine', '1 picture');
  // A standing defect is not talked away.
  await hand.follow(/^Examine safety valve again/i);
  await hand.sees('Not cleared', 'The safety valve sticks');
  await hand.fill({ finding: 'Spring and seat good' });
  await hand.send('Sound in other respects');
  await hand.sees('1 defect, standing; sound in other respects');
  await hand.open(job);
  await hand.sees('examined 4 of 5 components');
}

export async function examine(hand, job) {
  for (const [what, bar, component, to_do] of DEFECTS) {
    await hand.follow('Write down a defect');
    await hand.fill({ what, bar, component, to_do });
    await hand.send('Save');
  }
  await examineEach(hand, job);
  await hand.sees(hand.part('defects'), 'The cross-head pin rattles', 'The safety valve sticks', 'The check valve of the pump passes back', 'examination');
  await hand.sees('no: a no-steam bar stands');
  await hand.follow('examination', hand.part('defects'));
  assert.equal(await hand.page.inputValue('#finding'), 'Lifted by hand, slow to come back');
  await hand.picture('the stem is scored');
  await hand.open(job);
}

/** A sitting that leaves the glass off, and a piece in a tin. */
export async function stripDown(hand, job) {
  await hand.follow('Write down a sitting');
  await hand.fill({ on_day: day(-18), minutes: '90', done: 'Stripped it, glass taken off', next_time: 'look at the tubes' });
  await hand.send('Save');
  await hand.follow('Note something done for now');
  await hand.fill({
    what: 'water glass', how: 'left off', place: 'backhead', bar: 'no steam',
    sitting: /^1,/, ends_it: 'glass back with new seals',
  });
  await hand.send('Save');
  await hand.sees(hand.part('for-now'), 'for now water glass, left off, backhead', 'sitting 1');
  await hand.follow('Write down a piece');
  await hand.fill({ what: 'glass nuts, two', lies: 'tin 4' });
  await hand.send('Save');
  await hand.sees(hand.part('for-now'), 'glass nuts, two', 'tin 4');
  await hand.open('/');
  await hand.sees('water glass', 'look at the tubes', 'The safety valve sticks');
  await hand.open(job);
}
