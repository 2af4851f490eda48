// Examination, component by component: defects with their bars, what is done for now, the pieces off the plant.
import { day } from './hand.mjs';

const DEFECTS = [
  ['The check valve of the pump passes back', 'no handover', 'Crosshead pump', 'a new ball'],
  ['The safety valve sticks', 'no steam', /safety valve/i, 'clean and lap it'],
  ['The cross-head pin rattles', 'watch', 'Twin engine', 'make a pin'],
];

export async function examine(hand, job) {
  for (const [what, bar, component, to_do] of DEFECTS) {
    await hand.follow('Write down a defect');
    await hand.fill({ what, bar, component, to_do });
    await hand.send('Save');
  }
  await hand.sees(hand.part('defects'), ...DEFECTS.map(([what]) => what), 'examination');
  await hand.sees('no: a no-steam bar stands');
  await hand.follow('The check valve of the pump passes back');
  await hand.picture('the ball is pitted');
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
