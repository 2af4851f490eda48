// Work: parts bought and made, a defect put off until its part is there, sittings with what was fitted and adjusted.
import { day } from './hand.mjs';

async function part(hand, values) {
  await hand.follow('Write down a part');
  await hand.fill(values);
  await hand.send('Save');
  await hand.sees(hand.part('parts'), values.name);
}

/** A part on order and one to make; the defect that waits for the first is put off until it is in hand. */
export async function needParts(hand, job) {
  await part(hand, {
    name: 'steel ball 5 mm', state: 'on order', defect: /check valve/, supplier: 'a bearing house', price: '1.20',
    carriage: '3.00', ordered_on: day(-9), promised_on: day(-3), count: '2',
  });
  await part(hand, { name: 'cross-head pin', state: 'to make', defect: /cross-head pin/, material: 'silver steel 4 mm' });
  await hand.sees(hand.part('parts'), '2 × steel ball 5 mm', 'on order', 'of silver steel 4 mm', '£5.40');
  await hand.follow('cross-head pin');
  await hand.picture('sketch of the pin');
  await hand.open(job);
  await hand.follow('The check valve of the pump passes back');
  await hand.fill({ stands: /^deferred/, deferred_until: /steel ball 5 mm being in hand/, deferred_why: 'no ball in the drawer' });
  await hand.send('Save how it stands');
  await hand.sees(hand.part('defects'), 'deferred to', 'steel ball 5 mm', 'because no ball in the drawer');
  await hand.open('/');
  await hand.lacks('Come back');
  await hand.follow('Parts of all jobs');
  await hand.sees('a bearing house', 'steel ball 5 mm', 'cross-head pin');
  await hand.open(job);
}

/** The ball arrives: by itself the defect stands again, on the bench and on the job. */
export async function partArrives(hand, job) {
  await hand.follow(/steel ball 5 mm/);
  await hand.fill({ state: 'in hand', arrived_on: day(-2) });
  await hand.send('Save');
  await hand.sees(hand.part('parts'), 'in hand, arrived');
  await hand.sees(hand.part('defects'), 'has come back', 'because no ball in the drawer');
  await hand.open('/');
  await hand.sees(hand.part('due'), 'Come back', 'The check valve of the pump passes back');
  await hand.open(job);
}

/** A sitting at the bench: begun, put down, with what was fitted and an adjustment before and after. */
export async function fit(hand, job) {
  await hand.send('Begin a sitting');
  await hand.sees(hand.part('sittings'), 'At the bench');
  await hand.follow('Put it down');
  await hand.fill({ minutes: '75', done: 'New ball in the check valve, gland packed, valve lapped', next_time: 'try it on steam' });
  await hand.send('Save');
  await hand.sees(hand.part('sittings'), '75 min', 'try it on steam', '165 min');
  await hand.follow(/^2,/, hand.part('sittings'));
  const sitting = hand.at();
  await hand.picture('the valve lapped');
  for (const values of [
    { component: 'Crosshead pump', kind: 'packing', what: 'graphite yarn 2 mm, from the drawer' },
    { component: 'Crosshead pump', kind: 'adjustment', what: 'lift of the ball', was: '0.4 mm', now: '1.0 mm' },
  ]) {
    await hand.open(sitting);
    await hand.follow('Write down what is fitted');
    await hand.fill(values);
    await hand.send('Save');
    await hand.sees(hand.part('fitted'), values.what);
  }
  await hand.sees(hand.part('fitted'), '0.4 mm', '1.0 mm');
  await hand.open(job);
  for (const name of [/steel ball 5 mm/, 'cross-head pin']) {
    await hand.follow(name, hand.part('parts'));
    await hand.fill({ state: 'fitted' });
    await hand.send('Save');
  }
  await hand.sees(hand.part('parts'), 'fitted');
}

/** Each defect cleared by something named. */
export async function clear(hand, defect, by, says) {
  await hand.follow(defect, hand.part('defects'));
  await hand.fill({ stands: by });
  await hand.send('Save how it stands');
  await hand.sees(hand.page.locator('#defects tr', { hasText: defect }), 'cleared', says);
}

/** The glass goes back on, and its piece with it. */
export async function putBack(hand) {
  await hand.follow('water glass', hand.part('for-now'));
  await hand.fill({ ended_by: /^2,/ });
  await hand.send('It is ended');
  await hand.sees(hand.part('for-now'), 'ended', 'sitting 2');
  await hand.send('Back on', hand.part('for-now'));
  await hand.sees(hand.part('for-now'), 'Off again');
}
