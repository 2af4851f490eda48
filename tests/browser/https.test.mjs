// https with the workshop's own certificate: a browser that trusts it comes in, and the cookie is one that plain http never
// carries.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { request } from 'node:https';
import { serve } from './support.mjs';

/** One request over https, trusting `ca` alone. */
function ask(address, { ca, method = 'GET', form }) {
  return new Promise((good, bad) => {
    const body = form ? new URLSearchParams(form).toString() : '';
    const headers = form ? { 'content-type': 'application/x-www-form-urlencoded', origin: new URL(address).origin } : {};
    const sent = request(address, { method, ca, headers }, (answer) => {
      let text = '';
      answer.on('data', (bytes) => (text += bytes));
      answer.on('end', () => good({ status: answer.statusCode, headers: answer.headers, text }));
    });
    sent.on('error', bad);
    sent.end(body);
  });
}

test('the certificate of the workshop is trusted for this machine, and the cookie stays on https', async () => {
  const first = await serve();
  const key = () => crypto.randomUUID();
  const post = (path, form) => fetch(first.address + path, { method: 'POST', body: new URLSearchParams({ key: key(), ...form }), redirect: 'manual' });
  await post('/start/empty', { name: 'Test Works', owner: 'A. Tester' });
  await post('/workshop/pass-phrase', { phrase: 'three copper kettles', again: 'three copper kettles' });
  await first.stop();
  const program = await serve(first.folder, 0, ['--lan', '--https']);
  try {
    const ca = await (await fetch(`${program.address}/certificate/gaugeglass.pem`)).text();
    const told = await (await fetch(`${program.address}/certificate`)).text();
    const [, address] = told.match(/(https:\/\/127\.0\.0\.1:\d+)\//);
    assert.equal((await ask(`${address}/`, { ca })).status, 401);
    assert.match((await ask(`${address}/certificate`, { ca })).text, /this page came over it/);
    const form = { key: key(), who: 'A. Tester', phrase: 'three copper kettles', next: '/jobs' };
    const inside = await ask(`${address}/login`, { ca, method: 'POST', form });
    assert.equal(inside.status, 303);
    assert.match(inside.headers['set-cookie'][0], /^__Host-gaugeglass_in=.*HttpOnly; SameSite=Lax; Path=\/.*; Secure$/);
    await assert.rejects(ask(`${address}/`, { ca: undefined }), /certificate/i, 'nobody else trusts it');
  } finally {
    assert.equal(await program.stop(), 0);
    await program.forget();
  }
});
