// One board: editing, dragging, pointing, comparing, copying.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

// open gives a page whose first answer is there.
async function open(options) {
  const o = await house.page(service.url, options);
  await o.p.locator('#verdict.good').waitFor();
  return o;
}

const field = (p, path) => p.locator(`[data-path="${path}"]`).first();

// request reads the request from the page's own dialog.
async function request(p, form = 'JSON') {
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: new RegExp(`^${form}$`) }).click();
  const text = await p.locator('#request-dialog pre').textContent();
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  return form === 'JSON' ? JSON.parse(text) : text;
}

async function solve(body, path = 'v1/boards:solve') {
  const answer = await fetch(service.url + path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  return answer.json();
}

const worth = async (p) => (await p.locator('#headline strong').first().textContent());

// settles waits until the page shows what the service says of what the page asks.
async function settles(p) {
  await assert.doesNotReject(async () => {
    for (let i = 0; ; i++) {
      const body = await request(p), answer = await solve(body);
      if (await worth(p) === answer.plan.worth.toFixed(2)) return;
      if (i === 50) throw new Error(`shows ${await worth(p)}, the service says ${answer.plan.worth}`);
      await p.waitForTimeout(100);
    }
  });
}

test('shows the service\'s plan, and contacts no other host', async () => {
  const { p, wrong, asked, close } = await open();
  const answer = await solve(await request(p));
  assert.equal(await worth(p), answer.plan.worth.toFixed(2));
  assert.match(await p.textContent('#verdict'), /Best plan: no other is worth more/);
  assert.ok(await p.locator('#proof').isHidden(), 'proof and time are folded');
  assert.match(await p.textContent('#proof'), /Proven.*Searched [\d.]+ (µs|ms), answered in [\d.]+ ms/);
  const strips = answer.plan.pockets.filter((k) => k.item_id);
  assert.equal(await p.locator('#strips tbody tr').count(), strips.length);
  assert.equal(await p.locator('#drawing .strip').count(), strips.reduce((n, k) => n + k.stretches.length, 0));
  assert.equal(await p.locator('#drawing .kerf').count(), answer.plan.setting.blades_mm.length);
  assert.equal(await p.locator('.choice').count(), 1 + answer.runners_up.length);
  await p.locator('.choice').nth(1).click();
  assert.equal(await worth(p), answer.runners_up[0].worth.toFixed(2));
  assert.ok(await p.getByText('Advice on positions only.').isVisible());
  assert.deepEqual([...asked], [service.url.slice(0, -1)]);
  assert.deepEqual(wrong, []);
  await close();
});

test('the drawing is to scale', async () => {
  const { p, close } = await open();
  const body = await request(p), { plan } = await solve(body);
  const boxes = await p.locator('#drawing .kerf').evaluateAll((all) => all.map((e) => [Number(e.getAttribute('y')), Number(e.getAttribute('height')), Number(e.getAttribute('width'))]));
  const times = Number(/(?:drawn|×) ([\d.]+)/.exec(await p.textContent('#drawing .rules'))[1]);
  const along = boxes[0][2] / body.board.length_mm;
  boxes.forEach(([y, high], i) => {
    assert.ok(Math.abs(high - body.saw.kerf_mm * along * times) < 0.02, `blade ${i}: kerf ${high}`);
    if (i > 0) assert.ok(Math.abs(boxes[i - 1][0] - y - (plan.setting.blades_mm[i] - plan.setting.blades_mm[i - 1]) * along * times) < 0.02, `blade ${i}`);
  });
  await close();
});

test('an edge is dragged by the pointer and moved by keys', async () => {
  const { p, wrong, close } = await open();
  const handle = p.locator('[data-key=far4]'), before = (await request(p)).board.stations[4].far_mm;
  const box = await handle.locator('circle').last().boundingBox();
  await p.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await p.mouse.down();
  await p.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 40, { steps: 12 });
  await p.mouse.up();
  const dragged = (await request(p)).board.stations[4].far_mm;
  assert.ok(dragged < before - 10 && dragged > before - 80, `${before} became ${dragged}`);
  await settles(p);
  await handle.focus();
  await p.keyboard.press('ArrowDown');
  await p.keyboard.press('Shift+ArrowDown');
  assert.ok(Math.abs((await request(p)).board.stations[4].far_mm - (dragged - 5.5)) < 1e-9);
  await p.locator('[data-key=far4]').focus();
  await p.keyboard.press('ArrowRight');
  assert.equal(await p.evaluate(() => document.activeElement.dataset.key), 'far5');
  assert.match(await p.getAttribute('[data-key=far4]', 'aria-valuetext'), /mm/);
  await settles(p);
  assert.deepEqual(wrong, []);
  await close();
});

test('an edge is dragged by touch on a tablet', async () => {
  const { p, close } = await open({ size: 'tablet', touch: true });
  const before = (await request(p)).board.stations[3].far_mm;
  const box = await p.locator('[data-key=far3] circle').first().boundingBox();
  const x = box.x + box.width / 2, y = box.y + box.height / 2;
  const session = await p.context().newCDPSession(p);
  const touch = (type, points) => session.send('Input.dispatchTouchEvent', { type, touchPoints: points });
  await touch('touchStart', [{ x, y }]);
  for (let d = 3; d <= 30; d += 3) await touch('touchMove', [{ x, y: y + d }]);
  await touch('touchEnd', []);
  const after = (await request(p)).board.stations[3].far_mm;
  assert.ok(after < before - 5, `${before} became ${after}`);
  await settles(p);
  await close();
});

test('a defect is added by pointing and by keys, moved, sized and removed', async () => {
  const { p, close } = await open();
  await p.click('#add-defect');
  const box = await p.locator('#drawing .wood').boundingBox();
  await p.mouse.click(box.x + box.width * 0.3, box.y + box.height * 0.5);
  await p.locator('[data-key=defect0]').waitFor();
  const { board } = await request(p), at = board.defects[0];
  assert.ok(Math.abs((at.from_x_mm + at.to_x_mm) / 2 - 0.3 * board.length_mm) < 0.02 * board.length_mm);
  assert.equal(await p.getAttribute('#add-defect', 'aria-pressed'), 'false');
  await settles(p);
  await p.locator('[data-key=defect0]').focus();
  await p.keyboard.press('ArrowRight');
  await p.keyboard.press('Shift+ArrowUp');
  const moved = (await request(p)).board.defects[0];
  assert.equal(moved.from_x_mm, at.from_x_mm + 10);
  assert.ok(Math.abs(moved.to_y_mm - at.to_y_mm - 1) < 1e-9 && moved.from_y_mm === at.from_y_mm);
  await p.locator('#add-defect').focus();
  await p.keyboard.press('Enter');
  assert.equal(await p.evaluate(() => document.activeElement.dataset.key), 'defect1');
  assert.equal((await request(p)).board.defects.length, 2);
  await p.locator('[data-key=defect1]').focus();
  await p.keyboard.press('Delete');
  assert.equal((await request(p)).board.defects.length, 1);
  await settles(p);
  await close();
});

test('faults of the service stand beside the field that they name', async () => {
  const { p, close } = await open();
  await p.locator('#edit-order').evaluate((e) => { e.closest('details').open = true; });
  const value = field(p, 'order.items[1].value'), length = field(p, 'board.length_mm');
  await length.fill('99m');
  await p.locator('#verdict.bad').waitFor();
  const says = p.locator(`#${await length.getAttribute('aria-describedby')}`);
  assert.match(await says.textContent(), /20000/);
  assert.equal(await length.getAttribute('aria-invalid'), 'true');
  assert.ok(await p.locator('#results').isHidden(), 'no plan is shown for what was refused');
  assert.equal(await p.locator('#drawing .strip').count(), 0);
  await length.fill('2363');
  await p.locator('#verdict.good').waitFor();
  assert.equal(await length.getAttribute('aria-invalid'), null);
  await value.evaluate((e) => { e.closest('details').open = true; });
  await value.fill('-3');
  await p.locator('#verdict.bad').waitFor();
  assert.match(await p.locator(`#${await value.getAttribute('aria-describedby')}`).textContent(), /0 to 1000000/);
  await p.locator('#faults button').first().click();
  await p.waitForFunction(() => document.activeElement.dataset.path === 'order.items[1].value');
  await value.fill('twenty');
  assert.match(await p.locator(`#${await value.getAttribute('aria-describedby')}`).textContent(), /cannot be read; write/);
  assert.ok(await p.locator('#results').isHidden());
  await value.fill('20');
  await p.locator('#verdict.good').waitFor();
  await close();
});

test('a kept plan is compared with another blade and another value', async () => {
  const { p, close } = await open();
  const before = await worth(p);
  await p.click('#keep');
  const blade = p.locator('[data-key=blade1]');
  await blade.focus();
  for (let i = 0; i < 3; i++) await p.keyboard.press('Shift+ArrowUp');
  assert.equal((await request(p)).saw.blades[1].fixed_mm, 237.4); // 222.4 and three times 5
  await settles(p);
  assert.equal(await p.locator('#compare thead th').count(), 4);
  const row = await p.locator('#compare tbody tr', { hasText: 'Worth' }).locator('td').allTextContents();
  assert.equal(row[0], before);
  assert.equal(row[1], await worth(p));
  assert.equal(Number(row[2].replace('−', '-')).toFixed(2), (row[1] - row[0]).toFixed(2));
  assert.ok(await p.locator('#drawing .ghosts path').count() > 0);
  await p.click('#drop');
  assert.equal(await p.locator('#compare thead th').count(), 2);
  await close();
});

test('a setting by hand is checked against the best plan', async () => {
  const { p, close } = await open();
  await p.click('#mine');
  await p.locator('#setting').waitFor();
  await p.waitForFunction(() => /As good as the best plan/.test(document.getElementById('verdict').textContent));
  await field(p, 'setting.fence_mm').fill('160.2');
  await p.waitForFunction(() => /less than the best plan|As good/.test(document.getElementById('verdict').textContent) && document.querySelector('#compare thead th:nth-child(3)')?.textContent === 'my setting');
  await field(p, 'setting.fence_mm').fill('9');
  await p.waitForFunction(() => /breaks rules/.test(document.getElementById('verdict').textContent));
  assert.equal(await field(p, 'setting.fence_mm').getAttribute('aria-invalid'), 'true');
  assert.match(await p.textContent('#faults'), /Fence is 9/);
  await field(p, 'setting.fence_mm').fill('150');
  const slider = p.locator('#setting input[type=range]').first();
  await slider.focus();
  await p.keyboard.press('ArrowRight');
  assert.equal((await request(p)).setting.fence_mm, 150.1);
  const check = await solve(await request(p), 'v1/boards:check');
  await p.waitForFunction((w) => document.querySelector('#headline strong').textContent === w, check.plan.worth.toFixed(2));
  await p.click('#mine');
  await p.waitForFunction(() => /Best plan/.test(document.getElementById('verdict').textContent));
  await close();
});

test('inches and fractions', async () => {
  const { p, close } = await open();
  await p.click('#units button[value=in]');
  await p.locator('#edit-order').evaluate((e) => { e.closest('details').open = true; });
  const width = field(p, 'order.items[0].width_mm');
  assert.equal(await width.inputValue(), '2.7165'); // 69 mm is no fraction of an inch
  assert.equal((await request(p)).order.items[0].width_mm, 69, 'showing it changes nothing');
  await width.fill('2-5/8');
  assert.equal((await request(p)).order.items[0].width_mm, 66.675);
  await settles(p);
  assert.match(await p.textContent('#drawing .rules'), /ft along the feed[;,] in across/);
  assert.match(await p.textContent('#strips'), /in/);
  await p.reload();
  await p.locator('#verdict.good').waitFor();
  assert.equal(await p.getAttribute('#units button[value=in]', 'aria-pressed'), 'true');
  await close();
});

test('the copied calls work in a shell', async () => {
  const { p, close } = await open({ permissions: ['clipboard-read', 'clipboard-write'] });
  await p.locator('#edit-order').evaluate((e) => { e.closest('details').open = true; });
  await field(p, 'order.items[0].item_id').fill(`stile 'n "rail" $HOME`);
  await settles(p);
  const shown = await worth(p);
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: /^curl$/ }).click();
  await p.locator('#request-dialog button', { hasText: 'Copy' }).click();
  await p.locator('#request-dialog .said', { hasText: 'Copied.' }).waitFor();
  const curl = await p.evaluate(() => navigator.clipboard.readText());
  const answer = JSON.parse(execFileSync('bash', ['-c', curl]));
  assert.equal(answer.plan.worth.toFixed(2), shown);
  assert.ok(answer.fills.some((f) => f.item_id === `stile 'n "rail" $HOME`));
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  const grpcurl = await request(p, 'grpcurl');
  assert.match(grpcurl, new RegExp(`127.0.0.1:${service.grpc.split(':')[1]} ripwright.v1.RipService/SolveBoard`));
  // Its arguments as a shell gives them, whether or not the program is here.
  const args = execFileSync('bash', ['-c', `grpcurl() { printf '%s\\0' "$@"; }; ${grpcurl}`]).toString().split('\0');
  const body = JSON.parse(args[args.indexOf('-d') + 1]);
  assert.equal((await solve(body)).plan.worth.toFixed(2), shown);
  await close();
});

test('a request is edited as JSON, and its text is never parsed as markup', async () => {
  const { p, wrong, close } = await open();
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  await p.locator('#request-dialog textarea').fill('{"board": nonsense');
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
  await p.locator('#request-dialog .said', { hasText: 'That is not JSON' }).waitFor();
  const evil = '<img src=x onerror=alert(1)><b>bold</b>';
  await p.locator('#request-dialog textarea').fill(JSON.stringify({
    board: { board_id: evil, length_mm: 2000, stations: [{ far_mm: 180 }] },
    saw: { name: evil, kerf_mm: 3, step_mm: 0.5, fence: { min_mm: 0, max_mm: 100 }, blades: [{ fixed_mm: 50 }, { fixed_mm: 120 }], min_gap_mm: 30, min_strip_width_mm: 25, max_skew_mm_per_m: 4 },
    order: { items: [{ item_id: evil, width_mm: 67, value: 5, stack: evil }] },
  }));
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
  await p.locator('#strips', { hasText: '<b>bold</b>' }).waitFor();
  assert.equal(await p.locator('b').count(), 0);
  assert.equal(await p.locator('img').count(), 0);
  await settles(p);
  assert.deepEqual(wrong, []);
  await close();
});

test('a board that cannot be drawn is named as a fault', async () => {
  const { p, wrong, close } = await open();
  for (const board of [{}, { length_mm: 1000 }, { length_mm: 1000, stations: [{}] }, { length_mm: 1e9, stations: [{ far_mm: 1e9 }] }, { length_mm: -5, stations: [{ far_mm: 1 }] }]) {
    await p.click('#request');
    await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
    const body = JSON.parse(await p.locator('#request-dialog textarea').inputValue());
    await p.locator('#request-dialog textarea').fill(JSON.stringify({ ...body, board }));
    await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
    await p.locator('#verdict.bad').waitFor();
    assert.ok(await p.locator('#results').isHidden());
    assert.match(await p.textContent('#faults'), /length|station/i);
  }
  await p.click('#board-next');
  await p.locator('#verdict.good').waitFor();
  assert.deepEqual(wrong, []);
  await close();
});

test('every defect is drawn, however many there are', async () => {
  const { p, wrong, close } = await open();
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  const body = JSON.parse(await p.locator('#request-dialog textarea').inputValue());
  body.board.defects = [...Array(150)].map((_, i) => ({ from_x_mm: 15 * i, to_x_mm: 15 * i + 5, from_y_mm: 100, to_y_mm: 104, kind: 'knot' }));
  await p.locator('#request-dialog textarea').fill(JSON.stringify(body));
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
  await settles(p);
  const held = await p.locator('.handle[data-key^=defect]').count(), plain = (await p.locator('#scene .defect').getAttribute('d')).match(/M/g).length;
  assert.equal(held + plain, 150);
  assert.deepEqual(wrong, []);
  await close();
});

test('blades, items, stations and lengths are added and removed', async () => {
  const { p, wrong, close } = await open();
  for (const panel of ['#edit-saw', '#edit-order', '#edit-board']) await p.locator(panel).evaluate((e) => { e.closest('details').open = true; });
  await p.getByRole('button', { name: 'Add a blade' }).click();
  assert.equal((await request(p)).saw.blades.length, 5);
  await p.getByRole('button', { name: 'Remove blade 1' }).click();
  await p.locator('[data-path="saw.blades[0]"]').selectOption('moving');
  assert.ok((await request(p)).saw.blades[0].moving);
  await settles(p);
  await p.getByRole('button', { name: 'Add an item' }).click();
  const items = (await request(p)).order.items;
  assert.equal(items.length, 12);
  await p.locator('#edit-order .item').last().evaluate((e) => { e.querySelectorAll('details').forEach((d) => { d.open = true; }); });
  await p.locator('#edit-order .item').last().getByRole('button', { name: 'Add a length' }).click();
  assert.equal((await request(p)).order.items[11].crosscut.lengths.length, 1);
  await settles(p);
  await p.locator('#edit-board details[data-key=stations]').evaluate((e) => { e.open = true; });
  await p.getByRole('button', { name: 'Add a station' }).click();
  await settles(p);
  await p.getByRole('button', { name: 'Remove station 2', exact: true }).click();
  await settles(p);
  await p.locator('#which-saw').selectOption({ label: 'plover (this service)' });
  assert.equal((await request(p)).saw.name, 'plover');
  await settles(p);
  assert.deepEqual(wrong, []);
  await close();
});

test('a board that a plan turns is drawn as it then lies', async () => {
  const { p, wrong, close } = await open();
  const body = {
    board: { length_mm: 2400, stations: [{ far_mm: 180 }], defects: [{ from_x_mm: 0, to_x_mm: 1400, from_y_mm: 130, to_y_mm: 150, kind: 'knot' }] },
    saw: { kerf_mm: 4, step_mm: 1, fence: { min_mm: 100, max_mm: 100 }, blades: [{ fixed_mm: 104 }, { fixed_mm: 164 }, { fixed_mm: 270 }], min_gap_mm: 25, min_strip_width_mm: 25,
      turns: [{ turn: 'BOARD_TURN_EDGE_OVER_EDGE', cost: 0.5 }] },
    order: { items: [{ item_id: 'wide', width_mm: 102, value: 10 }] }, options: { turn_boards: true },
  };
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  await p.locator('#request-dialog textarea').fill(JSON.stringify(body));
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
  await p.locator('#verdict', { hasText: 'Turn the board edge over edge.' }).waitFor();
  await p.locator('#setup .turn', { hasText: 'edge over edge' }).waitFor();
  assert.match(await p.textContent('#headline'), /board turned edge over edge for 0.50 and drawn as it then lies/);
  assert.equal(await p.locator('#drawing .strip').count(), 1); // one stretch: the knot lies elsewhere
  assert.equal(await field(p, 'saw.turns[0].cost').inputValue(), '0.5');
  await field(p, 'options.turn_boards').evaluate((e) => e.click()); // its part of the editor is closed
  await p.locator('#verdict.good', { hasNotText: 'Turn' }).waitFor();
  assert.deepEqual(wrong, []);
  await close();
});
