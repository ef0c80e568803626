// The whole order and the quote: the page shows what the service answers.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

async function open(hash = '', options) {
  const o = await house.page(service.url + hash, options);
  await o.p.locator('html[data-ready]').waitFor({ state: 'attached' });
  return o;
}

async function post(path, body) {
  const answer = await fetch(service.url + path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  return answer.json();
}

const figure = (p, name) => p.locator(`#pack-facts tr:has(th:text-is("${name}")) td`).allTextContents();
const ended = (p) => p.waitForFunction(() => document.getElementById('pack-go').disabled, null, { timeout: 500000 });

test('an order is run by planned and own values side by side until it is filled', async () => {
  const { p, wrong, close } = await open('#pack');
  await p.click('#pack-one');
  await p.waitForFunction(() => !document.getElementById('pack-one').disabled && /after 1 board\./.test(document.getElementById('pack-end').textContent));
  await p.selectOption('#pace', '60');
  await p.click('#pack-go');
  await p.waitForFunction(() => document.querySelectorAll('#pack-chart .dots circle').length > 1);
  await p.click('#pack-go');
  const [pressed] = await figure(p, 'Boards');
  await p.waitForTimeout(1500);
  assert.ok(Number((await figure(p, 'Boards'))[0]) <= Number(pressed) + 1, 'a pause holds');
  await p.selectOption('#pace', 'Infinity');
  await p.click('#pack-go');
  await ended(p);

  // The same two runs by the test's own calls.
  const mill = await (await fetch(`${service.url}page/mill.json`)).json(), saw = mill.saws[1];
  const some = mill.boards.filter((_, i) => i % 3 === 0).slice(0, 60);
  const planFor = async (order) => {
    const now = structuredClone(mill.order);
    now.items.forEach((it, i) => { it.made = order.items[i].made; });
    const { values } = await post('v1/orders:planValues', { saw, order: now, objective: 'PLAN_OBJECTIVE_COST', relative_gap: 0.01, lumber: { lots: [{ lot_id: 'these boards', price_per_mbf: 4200, listed: { boards: some.map((board) => ({ board })) } }], seed: 1 } });
    values.forEach((v, i) => Object.assign(order.items[i], { value: v.value, value_per: v.value_per }));
  };
  const cut = async (order, planned) => {
    let strip = 0, face = 0, feet = 0, n = 0, current_setting, open = true;
    for (; open; n++) {
      if (planned && n % 25 === 0) await planFor(order);
      const { plan, fills } = await post('v1/boards:solve', { board: mill.boards[n % 200], saw, current_setting, order, options: { detail: { fills: 'ITEM_DETAIL_ALL' } } });
      strip += plan.account.strip_m2; face += plan.account.face_m2; feet += plan.account.board_feet;
      fills.forEach((f, i) => { order.items[i].made = f.made_after; });
      open = fills.some((f) => Object.values(f.open)[0] > 1e-6);
      current_setting = plan.setting;
    }
    return { boards: n, yield: `${(100 * strip / face).toFixed(1)} %`, money: 4.2 * feet };
  };
  const [a, b] = [await cut(structuredClone(mill.order), true), await cut(structuredClone(mill.order), false)];
  assert.deepEqual((await figure(p, 'Boards')).slice(0, 2), [String(a.boards), String(b.boards)]);
  assert.deepEqual((await figure(p, 'Yield')).slice(0, 2), [a.yield, b.yield]);
  assert.deepEqual((await figure(p, 'Cost of the lumber')).slice(0, 2), [a.money.toFixed(2), b.money.toFixed(2)]);
  assert.ok(a.money < b.money);
  assert.deepEqual((await figure(p, 'Values planned')).slice(0, 2), [`${Math.ceil(a.boards / 25)} times`, 'never']);
  assert.equal(await p.textContent('#pack-saving .large'), (b.money - a.money).toFixed(2));
  assert.match(await p.textContent('#pack-saving'), new RegExp(`${b.boards - a.boards} boards fewer`));
  const ends = await p.locator('#pack-fills > li').allTextContents();
  assert.equal(ends.length, mill.order.items.length);
  for (const e of ends) assert.match(e, /filled at board \d+.*filled at board \d+/, 'every item is filled by both, the nailer too');

  // A run is kept and compared whole with one on another saw.
  await p.click('#pack-keep');
  await p.locator('[data-path="pack.ways[0].saw"]').selectOption({ label: 'four moving blades' });
  await p.click('#pack-go');
  await ended(p);
  const [moving, kept] = await figure(p, 'Boards');
  assert.equal(kept, String(a.boards));
  assert.deepEqual((await figure(p, 'Saw')).slice(0, 2), ['four moving blades', saw.name]);
  assert.ok(Number(moving) <= a.boards, 'blades that move need no more lumber');
  await p.locator('[data-path="pack.ways[0].saw"]').selectOption('');
  await p.locator('[data-path="pack.ways[0].values"]').selectOption('own');
  await p.click('#pack-go');
  await ended(p);
  assert.match(await p.textContent('#pack-saving'), /more for lumber/);
  assert.ok(await p.locator('#pack-saving .verdict.bad').isVisible(), 'what is lost is not shown as won');
  assert.deepEqual(wrong, []);
  await close();
});

test('two saws on one pack, and an order that no board can fill', async () => {
  const { p, wrong, close } = await open('#pack');
  await p.locator('[data-path="pack.ways[1].values"]').selectOption('planned');
  await p.locator('[data-path="pack.ways[1].saw"]').selectOption({ label: 'four moving blades' });
  await p.locator('[data-path="order.items[0].required.length_m"]').fill('20');
  for (let n = 0; n < 8; n++) await p.locator('.item-row .gone button').nth(1).click();
  await p.locator('[data-path="order.items[1].min_length_mm"]').evaluate((e) => { e.closest('details').open = true; });
  await p.click('#to-board'); // an order that was changed is run anew
  await p.click('#to-pack');
  await p.click('#pack-go');
  await ended(p);
  assert.match(await p.textContent('#pack-facts thead'), /two fixed, two moving.*four moving blades/);
  await p.locator('[data-path="order.items[0].min_length_mm"]').evaluate((e) => { e.closest('details').open = true; });
  await p.locator('[data-path="order.items[0].min_length_mm"]').fill('9000');
  await p.click('#to-board');
  await p.click('#to-pack');
  assert.ok(await p.locator('#pack-saving').isHidden(), 'nothing is said of an order that has changed');
  await p.click('#pack-go');
  await ended(p);
  assert.match(await p.textContent('#pack-end'), /do not fill stile/);
  assert.equal(await p.textContent('#pack-saving'), '');
  assert.deepEqual(wrong, []);
  await close();
});

test('the order is one table', async () => {
  const { p, wrong, close } = await open('#pack');
  assert.equal(await p.locator('#pack-order .item').count(), 11);
  const heights = await p.locator('#pack-order .item-row').evaluateAll((rows) => rows.map((r) => r.getBoundingClientRect().height));
  assert.ok(Math.max(...heights) < 60, 'a row is a line');
  await p.locator('[data-path="order.items[2].value"]').fill('31');
  await p.click('#to-board');
  await p.locator('#edit-order').evaluate((e) => { e.closest('details').open = true; });
  assert.equal(await p.locator('#board [data-path="order.items[2].value"]').inputValue(), '31', 'it is the same one');
  assert.deepEqual(wrong, []);
  await close();
});

test('a quote has its charts, and faults stand beside their fields', async () => {
  const { p, wrong, close } = await open('#quote');
  await p.locator('[data-path="lumber.lots[0]"]').selectOption('tagged');
  const runs = p.locator('[data-path="simulations"]');
  await runs.fill('-2');
  await p.click('#quote-go');
  await p.locator('#quote-fault li').waitFor();
  assert.match(await p.locator(`#${await runs.getAttribute('aria-describedby')}`).textContent(), /0 to 1000|1 to 1000/);
  await runs.fill('5');
  await p.locator('[data-path="lumber.lots[0].tagged.rows[0].width_mm"]').fill('0');
  await p.click('#quote-go');
  await p.waitForFunction(() => document.querySelector('[data-path="lumber.lots[0].tagged.rows[0].width_mm"]').getAttribute('aria-invalid') === 'true');
  await p.locator('[data-path="lumber.lots[0].tagged.rows[0].width_mm"]').fill('170');
  await house.small(p);
  await p.click('#to-quote');
  await p.locator('[data-path="compare"]').evaluate((e) => { e.closest('details').open = true; });
  await p.locator('[data-path="compare"]').check();
  await p.locator('[data-path="currency"]').fill('CAD');
  await p.click('#quote-go');
  await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
  const { quote, others } = await post('v1/orders:quote', await asked(p));
  assert.equal(await p.locator('#quote-charts .headline strong').first().textContent(), quote.boards.mean.toFixed(0));
  assert.equal(await p.locator('#quote-charts .headline strong').nth(1).textContent(), `${quote.cost.mean.toFixed(2)} CAD`);
  assert.equal(await p.locator('#quote-charts .interval').count(), 2 * (1 + others.length), 'cost and boards, each by every choice of values');
  assert.equal(await p.locator('#quote-charts .series').count(), quote.items.length);
  assert.equal(await p.locator('#quote-charts .bound').count(), 1);
  assert.match(await p.textContent('#quote-sentence'), new RegExp(`^For order small without shelf, which this lumber does not give, we need about ${quote.board_feet.mean.toFixed(0)} board feet of lumber, .* ${quote.cost.lower.toFixed(2)} CAD and ${quote.cost.upper.toFixed(2)} CAD`));
  await p.locator('[data-path="level"]').fill('80');
  assert.equal((await asked(p)).level, 0.8, '80 can only be per cent');
  assert.ok(await p.locator('#quote-stale').isVisible(), 'an answer to something else is said to be one');
  await house.shot(p, 'quote-desktop-light');
  assert.deepEqual(await house.faults(p), []);
  assert.deepEqual(wrong, []);
  await close();
});

async function asked(p) {
  await p.click('#quote-request');
  const body = JSON.parse(await p.locator('#request-dialog pre').textContent());
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  return body;
}

test('what to buy of each lot, in money, with and without it', async () => {
  const { p, wrong, close } = await open('#quote');
  await house.small(p);
  await p.click('#to-quote');
  await p.locator('[data-path="simulations"]').fill('19');
  await p.click('text=Add a lot');
  await p.locator('[data-path="lumber.lots[1].price_per_mbf"]').fill('3000');
  await p.locator('[data-path="stock[0].pack_boards"]').fill('50');
  await p.click('#quote-go');
  await p.locator('#quote-count:not([hidden])').waitFor();
  await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
  const { quote, lots } = await post('v1/orders:quote', await asked(p));
  const rows = await p.locator('#quote-charts table.buy tbody tr').allTextContents();
  assert.equal(rows.length, 2);
  quote.lots.forEach((l, i) => {
    assert.ok(rows[i].includes(`${(l.cost.mean ?? 0).toFixed(2)} (${(l.cost.lower ?? 0).toFixed(2)} to ${(l.cost.upper ?? 0).toFixed(2)})`), rows[i]);
    assert.ok(rows[i].includes(lots[i].leave ? 'leave it' : `${lots[i].leaving_costs.toFixed(2)} more`), rows[i]);
  });
  assert.match(rows[0], /saves \d/);

  // Stock beyond what there may be is told beside its field.
  await p.locator('[data-path="stock[0].pack_boards"]').fill('0.5');
  await p.click('#quote-go');
  await p.waitForFunction(() => document.querySelector('[data-path="stock[0].pack_boards"]').getAttribute('aria-invalid') === 'true');

  // Controls are not printed.
  await p.emulateMedia({ media: 'print' });
  assert.equal(await p.locator('button:visible, input:visible, select:visible, nav:visible').count(), 0);
  assert.ok(await p.locator('#quote-sentence').isVisible());
  await house.printed(p, 'quote');
  assert.deepEqual(wrong, []);
  await close();
});

test('a quote shows its progress, and can be stopped', async () => {
  const { p, wrong, close } = await open('#quote');
  await p.locator('[data-path="simulations"]').fill('900');
  await p.click('#quote-go');
  await p.locator('#quote-progress:not([hidden])').waitFor();
  await p.waitForFunction(() => /^\d+ of 900 simulations$/.test(document.getElementById('quote-count').textContent), null, { timeout: 60000 });
  await p.click('#quote-go');
  await p.waitForFunction(() => document.getElementById('quote-go').textContent === 'Ask for the quote');
  assert.equal(await p.textContent('#quote-fault'), '');
  assert.ok(await p.locator('#quote-answer').isHidden());
  assert.deepEqual(wrong, []);
  await close();
});
