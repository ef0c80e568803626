// The colour of success is only for the best plan: stale results are grey, a plan worth
// less is not a success, an invalid request is not sent.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

// open gives a page whose first answer is there; sent are the requests made since.
async function open(options) {
  const o = await house.page(service.url, options), sent = [];
  await o.p.locator('#verdict.good').waitFor();
  o.p.on('request', (r) => { if (r.method() === 'POST') sent.push(r); });
  return { ...o, sent };
}

const field = (p, path) => p.locator(`[data-path="${path}"]`).first();

async function request(p) {
  await p.click('#request');
  const body = JSON.parse(await p.locator('#request-dialog pre').textContent());
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  return body;
}

async function use(p, body) {
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  await p.locator('#request-dialog textarea').fill(JSON.stringify(body));
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
}

test('a length of 1e99 is refused at once, and old results are hidden', async () => {
  const { p, wrong, sent, close } = await open();
  await field(p, 'board.length_mm').fill('1e99');
  const state = await p.evaluate(() => ({ cls: document.getElementById('verdict').className, strips: document.querySelectorAll('#drawing .strip').length }));
  assert.match(state.cls, /bad/);
  assert.equal(state.strips, 0);
  assert.ok(await p.locator('#setup').isHidden() && await p.locator('#strips').isHidden());
  assert.match(await p.textContent('#faults'), /^Length is 1e99; must be a number, above 0 and at most 20000/);
  for (const text of ['1e308', '-1', '0', '20000.001', '']) {
    await field(p, 'board.length_mm').fill(text);
    assert.match(await p.getAttribute('#verdict', 'class'), /bad/, text);
    assert.equal(await p.locator('#faults li').count(), 1, 'the stations are not named as faults');
  }
  assert.equal(sent.length, 0, 'an invalid request is not sent');
  await field(p, 'board.length_mm').fill('2363');
  await p.locator('#verdict.good').waitFor();
  assert.deepEqual(wrong, []);
  await close();
});

test('the first key clears the verdict, and the old plan is grey until the new one arrives', async () => {
  const { p, wrong, close } = await open();
  let pass;
  const gate = new Promise((open) => { pass = open; });
  await p.route('**/v1/boards:solve', async (route) => { await gate; await route.continue(); });
  await field(p, 'board.length_mm').press('End');
  await p.keyboard.press('Backspace'); // 236
  const now = await p.evaluate(() => ({ cls: document.getElementById('verdict').className, text: document.getElementById('verdict').textContent, busy: document.getElementById('verdict').getAttribute('aria-busy'),
    setup: getComputedStyle(document.getElementById('setup')).filter, scene: getComputedStyle(document.getElementById('scene')).filter, good: document.querySelectorAll('.good').length }));
  assert.equal(now.cls.trim(), 'verdict');
  assert.equal(now.busy, 'true');
  assert.doesNotMatch(now.text, /best|proven/i);
  assert.match(now.setup, /grayscale/);
  assert.match(now.scene, /grayscale/);
  assert.equal(now.good, 0);
  // An answer to a request whose field has since become invalid is not shown.
  await field(p, 'board.length_mm').fill('much');
  pass();
  await p.waitForTimeout(300);
  assert.match(await p.getAttribute('#verdict', 'class'), /bad/);
  await field(p, 'board.length_mm').fill('2363');
  await p.locator('#verdict.good').waitFor();
  assert.equal(await p.getAttribute('#verdict', 'aria-busy'), 'false');
  assert.deepEqual(wrong, []);
  await close();
});

test('a plan worth less than the best, or a board behind the fence, is not shown as a success', async () => {
  const { p, close } = await open();
  await p.locator('.choice').nth(1).click();
  assert.match(await p.textContent('#verdict'), /^Worth [\d.]+ less than the best plan/);
  assert.equal(await p.locator('.good').count(), 0);
  assert.match(await p.locator('.choice').nth(1).textContent(), /less.*loses .* m [A-Z] /);
  await p.locator('.choice').first().click();
  await p.locator('#verdict.good').waitFor();
  await p.click('#mine');
  await p.locator('#verdict.good', { hasText: 'As good as the best plan' }).waitFor();
  await field(p, 'setting.fence_mm').fill('100');
  await p.locator('#verdict.less', { hasText: 'less than the best plan' }).waitFor();
  await p.click('#mine');
  await p.locator('#verdict.good').waitFor();
  await p.locator('#edit-board details[data-key=stations]').evaluate((e) => { e.open = true; });
  await field(p, 'board.stations[3].near_mm').fill('-20');
  await p.locator('#verdict.bad', { hasText: '20 mm behind the face of the fence' }).waitFor();
  await close();
});

test('fence and blades are named with their positions and units', async () => {
  for (const [size, units] of [['desktop', 'mm'], ['desktop', 'in'], ['phone', 'mm'], ['phone', 'in'], ['tablet', 'in']]) {
    const { p, wrong, close } = await open({ size });
    await p.click(`#units button[value=${units}]`);
    const labels = await p.locator('#drawing .blade-label').evaluateAll((all) => all.map((e) => [...e.children].map((t) => t.textContent).join(' ')));
    assert.equal(labels.length, 5);
    assert.ok(labels.some((t) => /^fence: [~\d]/.test(t)));
    for (let i = 1; i <= 4; i++) assert.ok(labels.some((t) => new RegExp(`^blade ${i}: ~?[\\d-/. ]+ ${units}( fixed)?$`).test(t)), `${size}: ${labels}`);
    assert.match(await p.textContent('#drawing .rules'), /on the arbor/);
    const over = await p.evaluate(() => {
      const svg = document.getElementById('drawing').getBoundingClientRect();
      return [...document.querySelectorAll('#drawing text')].filter((t) => { const b = t.getBoundingClientRect(); return b.width && (b.right > svg.right + 0.5 || b.left < svg.left - 0.5); }).map((t) => t.textContent);
    });
    assert.deepEqual(over, [], `${size}, ${units}: clipped`);
    assert.deepEqual(wrong, []);
    await close();
  }
});

test('a shortened board keeps its stations, and lengthened again regains the rest', async () => {
  const { p, sent, close } = await open();
  const whole = (await request(p)).board;
  await field(p, 'board.length_mm').fill('');
  await field(p, 'board.length_mm').pressSequentially('1250');
  await p.locator('#verdict.good').waitFor();
  const cut = (await request(p)).board, before = whole.stations.filter((s) => (s.x_mm ?? 0) < 1250), next = whole.stations[before.length], last = before.at(-1);
  assert.deepEqual(cut.stations.slice(0, -1), before);
  const t = (1250 - last.x_mm) / (next.x_mm - last.x_mm), end = cut.stations.at(-1);
  assert.equal(end.x_mm, 1250);
  for (const side of ['near_mm', 'far_mm']) assert.ok(Math.abs(end[side] - ((last[side] ?? 0) + t * ((next[side] ?? 0) - (last[side] ?? 0)))) <= 0.0005, side);
  for (const r of sent.filter((s) => s.url().endsWith(':solve'))) assert.equal((await r.response())?.status() ?? 200, 200, r.postData());
  await field(p, 'board.length_mm').fill('2363');
  await p.locator('#verdict.good').waitFor();
  assert.deepEqual((await request(p)).board.stations, whole.stations);
  // Undoing brings a board back too, with its defects.
  await use(p, { ...await request(p), board: { ...whole, defects: [{ from_x_mm: 1200, to_x_mm: 1300, from_y_mm: 60, to_y_mm: 80, kind: 'knot' }, { from_x_mm: 1500, to_x_mm: 1600, from_y_mm: 60, to_y_mm: 80, kind: 'knot' }] } });
  await p.locator('#verdict.good').waitFor();
  const flawed = (await request(p)).board;
  await field(p, 'board.length_mm').fill('1250');
  await p.locator('#verdict.good').waitFor();
  assert.deepEqual((await request(p)).board.defects, [{ from_x_mm: 1200, to_x_mm: 1250, from_y_mm: 60, to_y_mm: 80, kind: 'knot' }]);
  await p.click('#undo');
  assert.deepEqual((await request(p)).board, flawed);
  await close();
});

test('undo and redo survive other boards and a reload', async () => {
  const { p, wrong, close } = await open();
  const first = await request(p);
  assert.ok(await p.locator('#undo').isDisabled());
  await p.locator('[data-key=far4]').focus();
  await p.keyboard.press('ArrowDown');
  await p.keyboard.press('ArrowDown');
  const moved = await request(p);
  assert.notDeepEqual(moved.board, first.board);
  await p.locator('#which-board').focus();
  await p.keyboard.press('Control+z'); // both keys at once: they came close together
  assert.deepEqual(await request(p), first);
  assert.ok(await p.locator('#undo').isDisabled());
  await p.click('#redo');
  assert.deepEqual(await request(p), moved);
  assert.ok(await p.locator('#redo').isDisabled());
  await p.locator('#verdict.good').waitFor();

  await p.click('#board-next');
  await p.click('#board-next');
  assert.equal(await p.locator('#which-board option').nth(1).textContent(), 'AC-002, changed');
  await p.click('#board-before');
  await p.click('#board-before');
  assert.deepEqual((await request(p)).board, moved.board);
  await p.click('#mine');
  await field(p, 'setting.fence_mm').fill('100');
  await p.locator('#verdict.less').waitFor();
  await p.reload();
  await p.locator('#verdict.less').waitFor();
  const again = await request(p);
  assert.deepEqual([again.board, again.setting.fence_mm], [moved.board, 100]);
  await p.click('#mine');
  await p.locator('#verdict.good').waitFor();
  await p.click('#as-scanned');
  await p.locator('#verdict.good').waitFor();
  assert.deepEqual((await request(p)).board, first.board);
  assert.equal(await p.locator('#which-board option').nth(1).textContent(), 'AC-002');
  assert.deepEqual(wrong, []);
  await close();
});

test('unusable data of an earlier page is ignored', async () => {
  const { p, close } = await open();
  const list = await p.locator('#which-board option').evaluateAll((all) => all.map((o) => o.value).join());
  for (const was of ['nonsense', '{}', { board: 7, saw: {}, order: {} }, { board: { stations: 3 }, saw: { blades: {} }, order: { items: 4 } }, { board: { stations: [null] }, saw: { blades: [1] }, order: { items: [] }, at: 2 },
    { board: { stations: [] }, saw: { blades: [] }, order: { items: [] }, at: 9999 }]) {
    await p.evaluate((w) => { addEventListener('pagehide', () => sessionStorage.setItem('ripwright-work', w)); }, typeof was === 'string' ? was : JSON.stringify({ ...was, list }));
    await p.reload();
    await p.locator('#verdict.good').waitFor();
  }
  await close();
});

test('what to set and the strips that come out stand on one screen of a tablet', async () => {
  for (const units of ['mm', 'in']) {
    const { p, close } = await open({ size: 'tablet', touch: true });
    await p.click(`#units button[value=${units}]`);
    for (let i = 0; i < 12; i++) {
      const at = await p.evaluate(() => ['setup', 'strips'].map((id) => document.getElementById(id).getBoundingClientRect().bottom));
      assert.ok(Math.max(...at) <= 768 && at[0] > 0, `${await p.inputValue('#which-board')}, ${units}: ${at}`);
      const [fence, body] = await p.evaluate(() => ['#setup .moves dd', 'body'].map((q) => Number.parseFloat(getComputedStyle(document.querySelector(q)).fontSize)));
      assert.ok(fence >= 1.6 * body, 'the fence is not large');
      await p.click('#board-next');
      await p.locator('#verdict.good').waitFor();
    }
    await close();
  }
});

test('for a board that is not worth feeding no setting is shown, and the verdict says so', async () => {
  const { p, wrong, close } = await open();
  const body = await request(p);
  await use(p, { ...body, order: { items: [{ item_id: 'shelf', width_mm: 400, value: 5 }] } });
  await p.locator('#verdict.bad', { hasText: /^Do not feed/ }).waitFor();
  assert.equal(await p.locator('#setup > *').count(), 0);
  assert.equal(await p.locator('.good').count(), 0);
  assert.deepEqual(wrong, []);
  await close();
});

test('the picture stays in view while people edit, at every size', async () => {
  for (const size of ['phone', 'tablet', 'desktop']) {
    const { p, wrong, close } = await open({ size });
    await p.locator('.editors summary', { hasText: 'Order' }).click();
    const width = field(p, 'order.items[5].width_mm');
    await width.scrollIntoViewIfNeeded();
    await width.focus();
    const inView = () => p.waitForFunction(() => {
      const at = document.getElementById('drawing').getBoundingClientRect(), to = document.activeElement.getBoundingClientRect();
      const beside = to.left >= at.right || to.top >= at.bottom;
      return at.height > 100 && at.top >= -1 && at.bottom <= innerHeight && to.top >= 0 && to.bottom <= innerHeight && beside;
    });
    await inView();
    const was = await p.locator('#drawing').innerHTML();
    await width.press('Control+a');
    await width.pressSequentially('61');
    await p.waitForFunction((old) => document.getElementById('drawing').innerHTML !== old, was);
    await inView();
    assert.equal(await width.inputValue(), '61');
    await house.shot(p, `editing-${size}`, false);
    await width.evaluate((e) => e.blur());
    await p.waitForFunction(() => !document.querySelector('.peek'));
    assert.deepEqual(wrong, []);
    await close();
  }
});
