// Opening, saving and linking the user's files, compared with what ripctl makes of them.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import * as house from './house.mjs';

let service, mill;
before(async () => {
  service = await house.service();
  mill = house.folder();
  execFileSync(process.env.RIPCTL, ['demo', mill.dir]);
});
after(async () => { await service.stop(); mill.remove(); await house.close(); });

const ripctl = (...args) => JSON.parse(execFileSync(process.env.RIPCTL, ['--server', service.grpc, '--json', ...args], { encoding: 'utf8' }));
const at = (...names) => names.map((n) => join(mill.dir, n));

async function open(hash = '', options) {
  const o = await house.page(service.url + hash, options);
  await o.p.locator('html[data-ready]').waitFor({ state: 'attached' });
  return o;
}

// drop lets files fall on the page, as from a folder's window.
async function drop(p, paths) {
  const files = paths.map((path) => ({ name: path.split('/').pop(), text: readFileSync(path, 'utf8') }));
  const data = await p.evaluateHandle((list) => {
    const d = new DataTransfer();
    list.forEach(({ name, text }) => d.items.add(new File([text], name)));
    return d;
  }, files);
  await p.dispatchEvent('main', 'dragover', { dataTransfer: data });
  assert.ok(await p.evaluate(() => document.documentElement.classList.contains('dropping')));
  await p.dispatchEvent('main', 'drop', { dataTransfer: data });
  await p.locator('#taken:not([hidden])').waitFor();
}

async function asked(p, from = '#quote-request') {
  await p.click(from);
  const body = JSON.parse(await p.locator('#request-dialog pre').textContent());
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  return body;
}

test('from opening the page to the printed quote for one\'s own order in under 10 steps', async () => {
  const { p, wrong, close } = await open();
  let steps = 1; // opening it
  await drop(p, at('order.yaml', 'saws.yaml', 'lumber.yaml', 'boards.jsonl'));
  steps++;
  assert.match(await p.textContent('#taken'), /order .* with 5 items; .*saw creek.*; lumber of 3 lots; 12 boards|12 boards/);
  await p.click('#to-quote');
  steps++;
  await p.click('#quote-go');
  steps++;
  await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
  await p.evaluate(() => { window.print = () => { document.body.dataset.printed = ''; }; });
  await p.click('#quote-print');
  steps++;
  assert.ok(await p.locator('body[data-printed]').count(), 'it goes to the printer');
  assert.ok(steps < 10);

  // ripctl, which reads the same files by other code, gets the same quote.
  const body = await asked(p);
  const { quote } = ripctl('quote', '--order', ...at('order.yaml'), '--saw-file', ...at('saws.yaml'), '--lumber', ...at('lumber.yaml'), '--objective', 'cost', '--simulations', `${body.simulations}`, '--buy');
  assert.equal(body.pace.feed_m_per_min, undefined, 'the pace is that of one\'s own saw');
  assert.equal(await p.locator('#quote-charts .headline strong').nth(1).textContent(), quote.cost.mean.toFixed(2));
  assert.deepEqual(wrong, []);
  await close();
});

test('a dropped board gets the plan that ripctl gets', async () => {
  const { p, wrong, close } = await open();
  await drop(p, at('order.yaml', 'saws.yaml', 'boards.jsonl'));
  await p.locator('#verdict.good').waitFor();
  const body = await asked(p, '#request');
  const answer = await (await fetch(`${service.url}v1/boards:solve`, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ ...body, current_setting: undefined }) })).json();
  const first = execFileSync(process.env.RIPCTL, ['--server', service.grpc, '--json', 'solve', '--order', ...at('order.yaml'), '--saw-file', ...at('saws.yaml'), ...at('boards.jsonl')], { encoding: 'utf8' }).split('\n')[0];
  assert.equal(answer.plan.worth, JSON.parse(first).plan?.worth ?? JSON.parse(first).answer?.plan?.worth);
  assert.deepEqual(wrong, []);
  await close();
});

test('a length of 0 needs no unit in a file', async () => {
  const { p, wrong, close } = await open();
  const zero = join(mill.dir, 'zero.yaml');
  writeFileSync(zero, 'board_id: zero\nlength: 8ft\nthickness: 1in\nstations: [{x: 0, near: 0, far: 9-1/2in}, {x: 8ft, near: "0", far: 240mm}]\n');
  await drop(p, [zero]);
  await p.locator('#verdict.good').waitFor();
  const { board } = await asked(p, '#request');
  assert.deepEqual(board.stations.map((s) => [s.x_mm ?? 0, s.near_mm ?? 0, s.far_mm]), [[0, 0, 241.3], [2438.4, 0, 240]]);
  assert.deepEqual(wrong, []);
  await close();
});

test('a file with faults is not opened, and each fault has its place', async () => {
  const { p, wrong, close } = await open('#pack');
  const bad = join(mill.dir, 'bad.yaml'), yaml = join(mill.dir, 'no.yaml');
  writeFileSync(bad, 'order_id: mine\nitems:\n  - item_id: a\n    widths: 2in\n    required: {length: 12}\n    min_length_mm: 24in\n    value_per: metre\n');
  writeFileSync(yaml, 'items:\n  - {item_id: a\n');
  await drop(p, [bad, yaml, ...at('setting.yaml')]);
  const says = await p.locator('#taken li').allTextContents();
  for (const want of [/bad.yaml: items\[0\].widths is not a field here; did you mean width\?/, /items\[0\].required.length is "12" cannot be read; write it with its unit/, /min_length_mm is "24in"; must be a number. With a unit write min_length: 24in/,
    /value_per is "metre"; must be area or length or strip/, /no.yaml: line \d/, /setting.yaml: is not a file for this page/]) {
    assert.ok(says.some((s) => want.test(s)), `${want} in\n${says.join('\n')}`);
  }
  assert.equal(await p.locator('#pack-order .item').count(), 11, 'the order is unchanged');
  assert.deepEqual(await house.faults(p), []);
  assert.deepEqual(wrong, []);
  await close();
});

test('a link carries the work, and larger work is saved as a file', async () => {
  const { p, wrong, close } = await open('#pack');
  await p.locator('[data-path="order.order_id"]').fill('as <linked> & sent');
  await p.locator('[data-path="order.items[0].required.length_m"]').fill('77');
  await p.click('#to-quote');
  await p.locator('[data-path="simulations"]').fill('7');
  await p.click('#link');
  const url = await p.locator('#request-dialog textarea').inputValue();
  assert.ok(url.split('#')[1].length <= 8192, url.length);
  const other = await house.page(url);
  await other.p.locator('html[data-ready]').waitFor({ state: 'attached' });
  assert.ok(await other.p.locator('#quote').isVisible());
  assert.equal(await other.p.locator('[data-path="simulations"]').inputValue(), '7');
  const body = await asked(other.p);
  assert.equal(body.order.order_id, 'as <linked> & sent');
  assert.equal(body.order.items[0].required.length_m, 77);
  assert.equal(new URL(other.p.url()).hash, '#quote', 'it is taken once, so that a reload does not undo what follows');
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();

  // 300 boards of one's own are too much for a link.
  let n = 1;
  const many = join(mill.dir, 'many.jsonl');
  writeFileSync(many, Array.from({ length: 300 }, () => JSON.stringify({ board_id: `b${n++}`, length_mm: 2000 + 7 * n, thickness_mm: 27, stations: Array.from({ length: 12 }, (_, k) => ({ x_mm: 150 * k, near_mm: (n * k * 37 % 101) / 17, far_mm: 150 + (n * k * 53 % 997) / 13 })) })).join('\n'));
  await drop(p, [many]);
  await p.click('#link');
  await p.locator('#request-dialog[open]', { hasText: /Too large for a link.*Save the work as a file/ }).waitFor(); // to pack it takes a moment
  const [download] = await Promise.all([p.waitForEvent('download'), p.locator('#request-dialog button', { hasText: 'Save as a file' }).click()]);
  const saved = join(mill.dir, 'saved.json');
  await download.saveAs(saved);
  const third = await open('#pack');
  await drop(third.p, [saved]);
  assert.match(await third.p.textContent('#pack-what'), /as <linked> & sent.*your 300 boards/);
  for (const o of [third, other]) {
    assert.deepEqual(o.wrong, []);
    await o.close();
  }
  // An invalid link is harmless.
  for (const rest of ['AAAA', '%%%', 'x'.repeat(9000)]) {
    const o = await open(`#quote/${rest}`);
    assert.match(await o.p.textContent('#taken'), /cannot be used/);
    assert.ok(await o.p.locator('#quote').isVisible());
    assert.deepEqual(o.wrong, []);
    await o.close();
  }
  assert.deepEqual(wrong, []);
  await close();
});

test('packs are tallied as ripctl tallies them', async () => {
  const { p, wrong, close } = await open();
  await drop(p, at('packs.csv'));
  await p.locator('#tally-answer table').first().waitFor();
  assert.equal(new URL(p.url()).hash, '#tally');
  const { packs } = ripctl('tally', ...at('packs.csv'));
  const rows = await p.locator('#tally-answer table').first().locator('tbody tr').allTextContents();
  assert.equal(rows.length, packs.length);
  let sum = 0;
  packs.forEach((k, i) => {
    const c = k.comparison;
    sum += c.difference_money;
    assert.ok(rows[i].includes(k.measured_board_feet.toFixed(1)) && rows[i].includes(Math.abs(c.difference_money).toFixed(2)), rows[i]);
    assert.ok(rows[i].includes(c.verdict === 'TALLY_VERDICT_LACKS' ? 'lacks' : 'agrees'), rows[i]);
  });
  assert.equal(await p.textContent('#tally-answer .large'), `${sum < 0 ? '−' : '+'}${Math.abs(sum).toFixed(2)}`);
  assert.match(await p.locator('#tally-answer table', { hasText: 'outside the limits' }).textContent(), /narrow/);
  await p.locator('[data-path="tally.rule"]').selectOption('TALLY_RULE_END_TALLY');
  const by = ripctl('tally', '--rule', 'end tally', ...at('packs.csv')).packs[0].measured_board_feet.toFixed(1);
  await p.waitForFunction((want) => document.querySelector('#tally-answer tbody tr')?.textContent.includes(want), by);
  assert.deepEqual(await house.faults(p), []);
  await house.printed(p, 'tally');

  // What the table or the service refuses is told by its row or pack.
  const wrongFile = join(mill.dir, 'wrong.csv');
  writeFileSync(wrongFile, readFileSync(at('packs.csv')[0], 'utf8').replace('7-1/2,12', '-7,12'));
  await drop(p, [wrongFile]);
  assert.match(await p.textContent('#taken'), /wrong.csv: row 2, width_in: is "?-7/);
  writeFileSync(wrongFile, readFileSync(at('packs.csv')[0], 'utf8').replaceAll('sugar maple', 'sweet maple'));
  await drop(p, [wrongFile]);
  await p.waitForFunction(() => /Pack demo-21: species/.test(document.getElementById('tally-fault').textContent));
  assert.deepEqual(wrong, []);
  await close();
});
