// Many at the door at once: each is answered, and memory grows by one reckoning of a pass phrase (19 MiB) and by what two
// hundred open connections take, not by a reckoning for each.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { serve } from './support.mjs';

const PHRASE = 'three copper kettles';
const key = () => crypto.randomUUID().replaceAll('-', '');

async function post(address, path, fields) {
  const body = new URLSearchParams({ key: key(), ...fields });
  return fetch(address + path, { method: 'POST', redirect: 'manual', headers: { origin: address }, body });
}

/** Memory that is held now, MB. */
async function held(pid) {
  const status = await readFile(`/proc/${pid}/status`, 'utf8');
  return Number(status.match(/VmRSS:\s+(\d+)/)[1]) / 1024;
}

test('two hundred come in at once', async () => {
  let program = await serve();
  try {
    await post(program.address, '/start/empty', { name: 'Test Works', owner: 'A. Tester' });
    await post(program.address, '/workshop/pass-phrase', { phrase: PHRASE, again: PHRASE });
    await program.stop();
    program = await serve(program.folder, 0, ['--lan']);
    assert.equal((await post(program.address, '/login', { who: 'A. Tester', phrase: PHRASE, next: '/' })).status, 303);
    const before = await held(program.pid);
    let most = before;
    let done = false;
    const watch = (async () => {
      while (!done) {
        most = Math.max(most, await held(program.pid));
        await new Promise((next) => setTimeout(next, 20));
      }
    })();
    const answers = await Promise.all(Array.from({ length: 200 }, (_, n) => post(program.address, '/login', { who: `Hand ${n}`, phrase: PHRASE, next: '/' })));
    done = true;
    await watch;
    const refused = answers.filter((a) => a.status !== 303).length;
    console.log(`200 at the door: refused ${refused}, memory ${before.toFixed(0)} MiB and at most ${(most - before).toFixed(0)} MiB more`);
    assert.equal(refused, 0);
    assert.ok(most - before <= 80, `${most - before} MiB`);
  } finally {
    await program.stop();
    await program.forget();
  }
});
