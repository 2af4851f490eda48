// Two years later: the same plant comes in again, and everything that was written of it is there.
import assert from 'node:assert/strict';
import { day } from './hand.mjs';

export async function secondVisit(hand, first) {
  await hand.open('/');
  await hand.follow(/Plants/);
  await hand.follow('Siskin, launch plant');
  const plant = hand.at();
  await hand.sees('visits 1', first.slice(-6), 'Does the pump hold the water at 3 bar?', 'C 118', 'graphite yarn 2 mm');
  await hand.follow('All that was written of it');
  await hand.sees('cross-head pin', 'glass nuts, two', 'A second water glass', 'No weep at any seam.', 'It is stripped, and the boiler looks good.');
  await hand.page.goBack();
  await hand.follow('Book it in');
  assert.equal(await hand.part('customer_name').count(), 0, 'nothing is asked that is known');
  await hand.fill({
    words: 'The pump has stopped again.', came_in_on: day(0, 2), return_of: new RegExp(`^${first.slice(-6)},`),
    came_back: 'the check valve', back_through: 'wear', back_charged: 'charged',
  });
  await hand.send('Book it in');
  assert.notEqual(hand.at(), first);
  await hand.sees('The pump has stopped again.', `a return of ${first.slice(-6)}: the check valve; wear; charged`);
  await hand.follow(first.slice(-6));
  assert.equal(hand.at(), first, 'one press from the second visit to the first');
  await hand.sees('stands gone home', 'It primes & the pump has stopped pumping.');
  await hand.page.goBack();
  return { plant, second: hand.at() };
}

/** What was fitted to that pump: one word to look for, or one link from the plant. */
export async function whatWasFitted(hand, plant) {
  await hand.open(plant);
  await hand.follow('Crosshead pump');
  await hand.sees(hand.part('fitted'), 'graphite yarn 2 mm', 'lift of the ball', '1.0 mm', 'steel ball');
  await hand.open(`/look-back?words=graphite`);
  await hand.sees('graphite yarn 2 mm', '1 line');
}
