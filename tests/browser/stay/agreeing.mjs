// Agreeing: the estimate, one variation that the customer approves on the progress page and one that is declined there.
import assert from 'node:assert/strict';
import { day } from './hand.mjs';

export async function estimate(hand, job) {
  await hand.follow('Estimate it');
  await hand.fill({
    least_hours: '7:30', most_hours: '10', hourly: '30.00', least_parts: '10.00', most_parts: '40.00',
    assumes: 'the shell is sound', named: '300.00',
  });
  await hand.send('Save');
  await hand.sees(hand.part('money'), '£235.00 to £340.00', 'the shell is sound', '£300.00');
  for (const [what, reason, price] of [
    ['A second water glass', 'one glass alone can lie', '74.00'],
    ['New lagging', 'the old is loose', '40.00'],
  ]) {
    await hand.follow('Write down a variation');
    await hand.fill({ what, reason, if_not: 'it stays as it is', price, asked: true });
    await hand.send('Save');
  }
  await hand.sees(hand.part('money'), 'waits for Mrs Example');
  await hand.follow(/A second water glass/);
  await hand.picture('where it would go');
  await hand.open('/');
  await hand.sees("also waits for customer's word since");
  await hand.open(job);
}

/** Puts up what the customer is to see. Answers the private link. */
export async function publish(hand) {
  await hand.follow('Choose what the customer sees');
  await hand.fill({ said: 'It is stripped, and the boiler looks good.' });
  await hand.send('Put it up');
  for (const box of await hand.page.locator('input[name=variation], input[name=picture]').all()) await box.check();
  await hand.send('Show what is ticked');
  await hand.send('Make a private link');
  return hand.page.locator('.banner a').getAttribute('href');
}

/** The customer, on a phone of their own, by the private link alone. */
export async function answer(customer, link) {
  await customer.open(link);
  await customer.sees('Do not steam it', 'It is stripped, and the boiler looks good.', 'A second water glass, £74.00', 'New lagging, £40.00', 'where it would go');
  assert.equal(await customer.page.locator('a[href^="/jobs"]').count(), 0, 'no way into the workshop');
  for (const [what, name, said] of [['A second water glass', /^Yes, do it/, 'said yes'], ['New lagging', 'No, leave it', 'said no']]) {
    const asked = customer.page.locator('section.decide', { hasText: what });
    await asked.getByLabel('Your name').fill('Mrs Example');
    await customer.send(name, asked);
    await customer.sees(customer.page.locator('section.decide', { hasText: what }), `Mrs Example ${said}`);
  }
}

export async function answered(hand, job) {
  await hand.open(job);
  await hand.sees(hand.part('money'), 'A second water glass, agreed', 'New lagging, declined', 'on the progress page');
  await hand.follow('Write down a payment');
  await hand.fill({ on_day: day(-10), what: 'deposit', sum: '100.00', how: 'in notes' });
  await hand.send('Save');
  await hand.sees(hand.part('money'), 'deposit', '£274.00');
}
