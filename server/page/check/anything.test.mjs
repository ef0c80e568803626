// Random input in random order breaks nothing, and no request is sent that the service
// refuses. Drawn by seeds; ANYTHING says how many, SEED from which on.
// Which answers come in between depends on the machine.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

const texts = ['', '0', '-1', '1e99', '5', '66.6', '0.05', 'x', '12ft', '99999', '300', '40', '1000', 'knot', '2.5', '45.03', 'a'.repeat(200)];

// act does one thing to the page and says which.
const act = ([kind, one, other, texts]) => {
  const seen = (e) => e.offsetParent && !e.disabled, pick = (of) => { const all = [...document.querySelectorAll(of)].filter(seen); return all[Math.floor(one * all.length)]; };
  const tell = (e, ...events) => events.forEach((name) => e.dispatchEvent(new Event(name, { bubbles: true })));
  if (kind < 0.6) {
    const e = pick('#board .editors input[type=text], #setting input[type=text]');
    e.focus();
    e.value = texts[Math.floor(other * texts.length)];
    tell(e, 'input', 'change');
    return `${e.dataset.path} = ${e.value}`;
  }
  if (kind < 0.72) {
    const e = pick('#board select, #board input[type=checkbox], #board input[type=range]');
    if (e.type === 'checkbox') e.click();
    else if (e.type === 'range') { e.value = Number(e.min) + other * (e.max - e.min); tell(e, 'input'); } else { e.selectedIndex = Math.floor(other * e.options.length); tell(e, 'change'); }
    return `${e.dataset.path ?? e.id} is ${e.value}`;
  }
  const e = kind < 0.8 ? document.getElementById(one < 0.7 ? 'undo' : 'redo') : pick('#board button:not(#request, #picture)');
  e.click();
  return `pressed ${e.textContent.slice(0, 30)}`;
};

const first = Number(process.env.SEED ?? 1);
for (let seed = first; seed < first + Number(process.env.ANYTHING ?? 2); seed++) {
  test(`random input, seed ${seed}`, async () => {
    let state = seed * 7919 + 13;
    const random = () => (state = (state * 1103515245 + 12345) % 0x80000000) / 0x80000000;
    const { p, wrong, close } = await house.page(service.url, { size: Object.keys(house.sizes)[seed % 3] });
    await p.locator('#verdict.good').waitFor();
    const refused = [], done = [];
    p.on('response', async (r) => { if (r.request().method() === 'POST' && ![200, 429, 503].includes(r.status())) refused.push(await r.text().catch(() => String(r.status()))); });
    await p.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    for (let n = 0; n < 90; n++) {
      done.push(await p.evaluate(act, [random(), random(), random(), texts]));
      if (random() < 0.5) await p.waitForTimeout(50);
      assert.deepEqual(wrong, [], done.slice(-3).join('; '));
    }
    assert.equal(new Set(done).size > 40, true, 'too few different actions');
    await p.evaluate(() => { for (const e of document.querySelectorAll('#setting button')) e.click(); });
    await p.locator('#which-saw').selectOption({ index: 2 });
    await p.locator('#reset-order').click();
    await p.locator('#which-board').selectOption({ index: 7 });
    await p.locator('#as-scanned:enabled').click({ timeout: 500 }).catch(() => {}); // it may be as it was
    await p.waitForFunction(() => /^(Best plan|Not proven)/.test(document.getElementById('verdict').textContent));
    assert.deepEqual(wrong, []);
    assert.deepEqual(refused, []);
    await close();
  });
}
