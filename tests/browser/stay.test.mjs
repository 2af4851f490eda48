// A whole stay: one plant from taking in to handed over, and back two years later. One story, told twice: with script, and
// by forms alone.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { browse, serve } from './support.mjs';
import { Hand } from './stay/hand.mjs';
import { bookIn, particulars, receipt } from './stay/taking-in.mjs';
import { examine, stripDown } from './stay/finding-out.mjs';
import { answer, answered, estimate, publish } from './stay/agreeing.mjs';
import { clear, fit, needParts, partArrives, putBack } from './stay/working.mjs';
import { asItShould, cutShort, waterTest } from './stay/trying.mjs';
import { goHome, mayNotGo } from './stay/going-home.mjs';
import { secondVisit, whatWasFitted } from './stay/coming-back.mjs';

async function firstVisit(hand, customer) {
  const job = await bookIn(hand);
  await particulars(hand, job);
  await receipt(hand, job);
  await examine(hand, job);
  await stripDown(hand, job);
  await estimate(hand, job);
  const link = await publish(hand);
  await answer(customer, link);
  await answered(hand, job);
  await needParts(hand, job);
  await partArrives(hand, job);
  await waterTest(hand, job);
  await hand.open(job);
  await fit(hand, job);
  await putBack(hand);
  await clear(hand, 'The safety valve sticks', /^cleared by sitting 2/, 'sitting');
  await cutShort(hand, job);
  await mayNotGo(hand, job);
  await clear(hand, /water out of sight/i, /^cleared by sitting 2/, 'sitting');
  await asItShould(hand, job);
  await hand.open(job);
  await clear(hand, 'The check valve of the pump passes back', /^cleared by trial 3/, 'trial');
  await clear(hand, 'The cross-head pin rattles', /^cleared by the part cross-head pin/, 'part');
  await goHome(hand, job);
  return job;
}

for (const javaScriptEnabled of [true, false]) {
  test(`a plant's whole stay, script ${javaScriptEnabled ? 'on' : 'off'}`, async () => {
    const program = await serve();
    const browser = await browse();
    const began = Date.now();
    try {
      const hand = new Hand(await browser.page({ width: 412, height: 860, javaScriptEnabled }), program.address, javaScriptEnabled);
      const customer = new Hand(await browser.page({ width: 360, height: 780, javaScriptEnabled }), program.address, javaScriptEnabled);
      const job = await firstVisit(hand, customer);
      const { plant } = await secondVisit(hand, job);
      await whatWasFitted(hand, plant);
      assert.deepEqual(browser.faults, []);
      await program.stop();
      const said = execFileSync(process.env.GAUGEGLASS, ['verify', '--data', program.folder]).toString();
      assert.match(said, /3 trials?, \d+ entries, \d+ pictures?, OK/);
      console.log(`a whole stay, script ${javaScriptEnabled ? 'on' : 'off'}: ${Math.round((Date.now() - began) / 1000)} s`);
    } finally {
      await browser.stop();
      await program.stop();
      await program.forget();
    }
  });
}
