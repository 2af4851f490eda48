// Handing over: ready, gone home, with the statement and the records; nothing goes home under a bar.
import { day } from './hand.mjs';

async function put(hand, place) {
  const fold = hand.page.locator('summary', { hasText: 'Put it elsewhere' });
  await fold.click();
  await hand.fill({ stands: place });
  await hand.send('Put it there');
}

export async function mayNotGo(hand, job) {
  await put(hand, 'gone home');
  await hand.sees('bars forbid handover');
  await hand.open(job);
}

export async function goHome(hand, job) {
  await put(hand, 'ready');
  await hand.sees('stands ready');
  await hand.follow('Write down a payment');
  await hand.fill({ on_day: day(0), what: 'payment', sum: '274.00', how: 'by transfer' });
  await hand.send('Save');
  await hand.follow('Statement');
  await hand.sees('A second water glass', 'Nothing is owed', 'deposit', '£374.00');
  await hand.lacks('New lagging');
  await hand.follow('Back to the job');
  await put(hand, 'gone home');
  await hand.sees('stands gone home');
  await hand.open('/');
  await hand.lacks('Siskin');
  await hand.open(job);
}
