// No request is sent that must fail: of thousands of mistaken drafts the page says that
// one must fail if, and only if, the service refuses it. REFUSALS says how many drafts,
// SEED from which seed on.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { drawer, whole } from './drafts.mjs';
import { endAll, service as start } from './program.mjs';
import { faultsOf, messageOf, takeLimits } from '../web/refuse.js';

const many = Number(process.env.REFUSALS ?? 3000), first = Number(process.env.SEED ?? 1), each = 500, atOnce = 4;

let service, table;
before(async () => {
  service = await start();
  table = await (await fetch(`${service.url}page/limits.json`)).json();
  takeLimits(table);
});
after(async () => { await service.stop(); await endAll(); });

async function post(path, request) {
  const answer = await fetch(service.url + path.slice(1), { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(request) });
  if (answer.status === 429) return post(path, request); // it is busy, which the page cannot know beforehand
  return { status: answer.status, text: await answer.text() };
}

// holds says where page and service differ about a draft.
async function holds({ path, message, request, done }) {
  const faults = faultsOf(structuredClone(request), message), { status, text } = await post(path, request);
  if (status === 200 ? faults.length === 0 : status === 400 && faults.length > 0) return { agreed: true, refused: status !== 200 };
  if (status !== 200 && status !== 400) return { odd: `${status} ${path} ${done.join('; ')} ${text.slice(0, 300)}` };
  return { wrong: `${path} ${done.join('; ')}\n  page: ${faults.map((f) => `${f.path} ${f.says}`).join('; ') || 'sends it'}\n  service: ${status} ${text.slice(0, 400)}` };
}

test('valid requests are sent and answered', async () => {
  for (const [path, make] of Object.entries(whole)) {
    assert.deepEqual(faultsOf(make(), messageOf[path]), [], path);
    assert.equal((await post(path, make())).status, 200, path);
  }
});

for (let seed = first; (seed - first) * each < many; seed++) {
  test(`the page refuses what the service refuses, and nothing else: seed ${seed}`, async (t) => {
    const draw = drawer(table.messages, messageOf, seed), wrong = [], odd = [];
    let refused = 0;
    for (let n = 0; n < each; n += atOnce) {
      for (const r of await Promise.all(Array.from({ length: atOnce }, () => holds(draw())))) {
        if (r.wrong) wrong.push(r.wrong);
        if (r.odd) odd.push(r.odd);
        refused += r.refused ? 1 : 0;
      }
    }
    t.diagnostic(`${refused} of ${each} must fail`);
    assert.ok(refused > each / 5 && refused < each * 0.95, `${refused} of ${each} drafts are refused: too few of one kind`);
    assert.deepEqual(odd, []);
    assert.equal(wrong.length, 0, `${wrong.length} drafts:\n${wrong.slice(0, 12).join('\n')}`);
  });
}
