// Questions beyond the best plan: another strip here, another position of the fence. What
// the page shows is compared with the test's own calls.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

async function open(options) {
  const o = await house.page(service.url, options);
  await o.p.locator('#verdict.good').waitFor();
  for (const part of ['why', 'by-fence']) await o.p.evaluate((id) => { document.getElementById(id).open = true; }, part);
  return o;
}

async function request(p) {
  await p.click('#request');
  const body = JSON.parse(await p.locator('#request-dialog pre').textContent());
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  return body;
}

async function call(path, body) {
  const answer = await fetch(service.url + path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  assert.equal(answer.status, 200, await answer.clone().text());
  return answer.json();
}

const near = (a, b, what) => assert.ok(Math.abs(a - b) <= 0.0051, `${what}: ${a}, not ${b}`);

test('another strip anywhere costs what the plan with it is worth less', async () => {
  const { p, wrong, close } = await open();
  const body = await request(p), { plan: best } = await call('v1/boards:solve', body);
  delete body.options;
  for (const item of ['stile', 'nailer', 'top rail', 'face frame']) {
    await p.selectOption('#why-item', item);
    await p.click('#why-ask');
    await p.locator('#why-answer', { hasText: /costs|not possible|already/ }).waitFor();
    const strips = 1 + best.pockets.filter((k) => k.item_id === item).length;
    const own = await call('v1/boards:solve', { ...body, instructions: { forced: [{ item_id: item, strips }] } });
    const said = await p.textContent('#why-answer');
    if (!own.instructed.kept) {
      assert.match(said, /not possible/);
      continue;
    }
    near(Number(/costs ([\d.]+):/.exec(said)[1]), best.worth - own.plan.worth, item);
    await p.click('#why-show');
    assert.match(await p.textContent('#verdict'), /less than the best plan/);
    assert.equal(await p.locator('.good').count(), 0);
    assert.ok(await p.locator('#strips tbody tr', { hasText: item }).count() >= strips);
    assert.ok(await p.locator('#drawing .ghosts path').count() > 0, 'the best plan is drawn dashed');
    await p.locator('.choice').first().click();
  }
  assert.deepEqual(wrong, []);
  await close();
});

test('another strip at a place lies there, and its cost is what the check of that setting says', async () => {
  const { p, wrong, close } = await open();
  const body = await request(p), { plan: best } = await call('v1/boards:solve', body);
  let lay = 0;
  for (const board of ['AC-002', 'AC-005']) {
    await p.selectOption('#which-board', board);
    await p.locator('#verdict.good').waitFor();
    const now = await request(p), places = await p.locator('#why-place option').count();
    for (let i = 1; i < places; i++) {
      await p.locator('#why-item').selectOption('stile');
      await p.locator('#why-place').selectOption({ index: i });
      await p.click('#why-ask');
      await p.locator('#why-answer', { hasText: /costs|not possible|already/ }).waitFor();
      const said = await p.textContent('#why-answer'), m = /from ([\d.]+) mm to ([\d.]+) mm costs ([\d.]+|nothing)/.exec(said);
      if (!m) {
        assert.match(said, /not possible|stile lies there already/);
        continue;
      }
      lay++;
      await p.click('#why-show');
      const stands = await p.locator('#setup [data-stand]').evaluateAll((all) => Object.fromEntries(all.map((e) => [e.dataset.stand, Number(/([\d.]+) mm/.exec(e.textContent)[1])])));
      const { plan, distance, broken_rules: broken } = await call('v1/boards:check', { board: now.board, saw: now.saw, current_setting: now.current_setting, order: now.order, setting: { fence_mm: stands.fence, blades_mm: now.saw.blades.map((_, b) => stands[b]) } });
      assert.deepEqual(broken, []);
      near(m[3] === 'nothing' ? 0 : Number(m[3]), distance, said);
      assert.ok(plan.pockets.some((k) => k.item_id === 'stile' && Math.abs(k.near_mm - m[1]) < 0.01 && Math.abs(k.far_mm - m[2]) < 0.01), said);
      const wanted = Number(/, ([\d.]+) mm$/.exec(await p.locator('#why-place option').nth(i).textContent())[1]);
      assert.ok(Math.abs(m[1] - wanted) <= 34.5, 'it lies elsewhere');
      await p.locator('.choice').first().click();
    }
  }
  assert.ok(best.worth > 0 && lay >= 2, `${lay} places took a stile`);
  await p.locator('#why-place').selectOption({ index: 0 });
  await p.click('#why-ask');
  await p.locator('#why-answer', { hasText: /costs|not possible|already/ }).waitFor();
  await p.locator('[data-key=far4]').focus();
  await p.keyboard.press('ArrowDown');
  assert.equal(await p.textContent('#why-answer'), '', 'the answer for another board is cleared');
  assert.deepEqual(wrong, []);
  await close();
});

test('the worth over the fence is that of the best plan with the fence held there', async () => {
  for (const size of ['desktop', 'phone']) {
    const { p, wrong, close } = await open({ size });
    const body = await request(p), { plan: best } = await call('v1/boards:solve', body);
    delete body.options;
    let calls = 0;
    p.on('request', (r) => { if (r.method() === 'POST') calls++; });
    await p.click('#fence-go');
    await p.locator('#by-fence svg').waitFor();
    const places = await p.locator('#by-fence circle').count();
    assert.ok(calls <= 41 && places === calls, `${calls} calls, ${places} places`);
    near(Number(/worth ([\d.]+), as much as the best plan/.exec(await p.textContent('.fence-says'))[1]), best.worth, 'where the best plan has the fence');
    const slider = p.locator('#by-fence input[type=range]');
    for (const i of [0, 5, 11, 17, places - 1]) {
      await slider.fill(String(i));
      const [, at, worth] = /Fence at ([\d.]+) mm: worth ([\d.]+),/.exec(await p.textContent('.fence-says'));
      const own = await call('v1/boards:solve', { ...body, instructions: { fence: { at_mm: Number(at) } } });
      near(Number(worth), own.plan.worth, `fence at ${at}`);
    }
    await p.click('#fence-show');
    assert.match(await p.textContent('#verdict'), /best plan/);
    assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    await p.locator('.choice').first().click();
    await p.click('#units button[value=in]');
    assert.match(await p.textContent('.fence-says'), /Fence at [~\d][\d-/]* in/);
    assert.deepEqual(await house.faults(p), []);
    await house.shot(p, `fence-${size}`);
    await p.locator('#units button[value=mm]').click();
    assert.deepEqual(wrong, []);
    await close();
  }
});

test('no more strips are requested than the saw can give', async () => {
  const { p, wrong, close } = await open();
  const refused = [];
  p.on('response', (r) => { if (r.status() !== 200) refused.push(r.url()); });
  for (const straight of [false, true]) {
    await p.click('#request');
    await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
    await p.locator('#request-dialog textarea').fill(JSON.stringify({
      board: { length_mm: 2000, near_edge_straight: straight, stations: [{ far_mm: 190 }] }, order: { items: [{ item_id: 'only', width_mm: 60, value: 5 }] }, options: {},
      saw: { kerf_mm: 4, step_mm: 1, min_gap_mm: 30, min_strip_width_mm: 25, fence: { min_mm: 0, max_mm: 200 }, blades: [{ moving: { min_mm: 0, max_mm: 200 } }, { moving: { min_mm: 0, max_mm: 400 } }] },
    }));
    await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
    await p.locator('#verdict.good').waitFor();
    for (let i = 0; i < 3; i++) {
      await p.click('#why-ask');
      await p.locator('#why-answer', { hasText: /costs|not possible/ }).waitFor();
    }
    assert.match(await p.textContent('#why-answer'), new RegExp(`The saw gives at most ${straight ? 2 : 1} strips`));
  }
  assert.deepEqual([refused, wrong], [[], []]);
  await close();
});

test('on a straight near edge another strip can lie at the fence', async () => {
  const { p, wrong, close } = await open();
  await p.locator('[data-path="board.near_edge_straight"]').check();
  await p.getByRole('button', { name: 'Straight near edge at the fence' }).click();
  await p.locator('#verdict.good, #verdict.less').waitFor();
  await p.selectOption('#why-item', 'rail');
  await p.selectOption('#why-place', { index: 1 });
  await p.click('#why-ask');
  await p.locator('#why-answer', { hasText: 'costs' }).waitFor();
  assert.match(await p.textContent('#why-answer'), /One more rail from 0 mm to 58 mm costs/);
  assert.deepEqual(wrong, []);
  await close();
});
