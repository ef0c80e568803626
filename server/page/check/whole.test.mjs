// Packs, quotes, tokens, outages, and how the page looks and reads everywhere.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

async function open(hash = '', options) {
  const o = await house.page(service.url + hash, options);
  await o.p.locator('html[data-ready]').waitFor({ state: 'attached' });
  return o;
}

async function post(path, body, url = service.url) {
  const answer = await fetch(url + path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  return answer.json();
}

const fact = (p, name) => p.locator(`#pack-facts div:has(dt:text-is("${name}")) dd`).textContent();

test('a pack runs to its end, and its sums are those of the answers', async () => {
  const { p, wrong, close } = await open('#pack');
  await p.click('#pack-one');
  await p.waitForFunction(() => !document.getElementById('pack-one').disabled && document.querySelector('#pack-facts div:nth-child(2) dd').textContent.startsWith('1 of'));
  await p.selectOption('#pace', 'Infinity');
  await p.click('#pack-go');
  await p.waitForFunction(() => Number.parseInt(document.querySelector('#pack-facts div:nth-child(2) dd').textContent) > 20);
  await p.click('#pack-go'); // pause; the board under way still counts
  const pressed = Number.parseInt(await fact(p, 'Boards'));
  await p.waitForTimeout(1000);
  assert.ok(Number.parseInt(await fact(p, 'Boards')) <= pressed + 1, 'a pause holds');
  await p.click('#pack-go');
  await p.waitForFunction(() => document.getElementById('pack-end').textContent !== '', null, { timeout: 100000 });

  // The same run by calls of our own.
  const mill = await (await fetch(`${service.url}page/mill.json`)).json();
  const saw = mill.saws[1], order = mill.order;
  let strip = 0, face = 0, worth = 0, current_setting;
  for (const board of mill.boards) {
    const { plan, fills } = await post('v1/boards:solve', { board, saw, current_setting, order });
    strip += plan.account.strip_m2; face += plan.account.face_m2; worth += plan.worth;
    fills.forEach((f) => { order.items.find((it) => it.item_id === f.item_id).made = f.made_after; });
    current_setting = plan.setting;
  }
  assert.equal(await fact(p, 'Boards'), '200 of 200');
  assert.equal(await fact(p, 'Yield'), `${(100 * strip / face).toFixed(1)} %`);
  assert.equal(await fact(p, 'Worth'), worth.toFixed(2));
  assert.equal(await fact(p, 'Proven'), '200 of 200');
  const made = order.items[0];
  assert.match(await p.locator('#pack-fills li').first().textContent(), new RegExp(`${made.made.length_m.toFixed(2)} m of ${made.required.length_m.toFixed(2)} m`));
  assert.equal(await p.locator('#pack-chart .dots circle').count(), 200);
  await house.shot(p, 'pack-desktop-light');

  // Another arbor is compared with the run that is kept.
  await p.click('#pack-keep');
  await p.click('#to-board');
  await p.locator('#edit-saw').evaluate((e) => { e.parentElement.open = true; });
  await p.locator('#which-saw').selectOption({ label: 'four fixed blades (demo mill)' });
  await p.click('#to-pack');
  await p.click('#pack-over');
  await p.click('#pack-one');
  await p.waitForFunction(() => document.querySelector('#pack-chart svg').getAttribute('aria-label').includes('of the run kept'));
  assert.equal(await fact(p, 'Saw'), 'four fixed blades');
  assert.deepEqual(wrong, []);
  await close();
});

test('a quote has its charts, and says what is wrong beside the field', async () => {
  const { p, wrong, close } = await open('#quote');
  await p.locator('[data-path="lumber"]').selectOption('tag');
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
  await small(p);
  await p.click('#to-quote');
  await p.locator('[data-path="compare"]').check();
  await p.locator('[data-path="currency"]').fill('CAD');
  await p.click('#quote-go');
  await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
  await p.click('#quote-request');
  const asked = JSON.parse(await p.locator('#request-dialog pre').textContent());
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  const { quote, others } = await post('v1/orders:quote', asked);
  assert.equal(await p.locator('#quote-charts .headline strong').first().textContent(), quote.boards.mean.toFixed(0));
  assert.equal(await p.locator('#quote-charts .headline strong').nth(1).textContent(), `${quote.cost.mean.toFixed(2)} CAD`);
  assert.equal(await p.locator('#quote-charts .interval').count(), 2 * (1 + others.length), 'cost and boards, each by every choice of values');
  assert.equal(await p.locator('#quote-charts .series').count(), quote.items.length);
  assert.equal(await p.locator('#quote-charts .bound').count(), 1);
  assert.match(await p.textContent('#quote-charts table caption'), /Items/);
  await p.locator('[data-path="level"]').fill('0.8');
  assert.ok(await p.locator('#quote-stale').isVisible(), 'an answer to something else is said to be one');
  await house.shot(p, 'quote-desktop-light');
  assert.deepEqual(await house.faults(p), []);
  assert.deepEqual(wrong, []);
  await close();
});

// small puts an order under work that is filled by a few boards.
async function small(p) {
  await p.click('#to-board');
  if (await p.getAttribute('#mine', 'aria-pressed') === 'true') await p.click('#mine');
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  const body = JSON.parse(await p.locator('#request-dialog textarea').inputValue());
  body.order = { order_id: 'small', items: [{ item_id: 'stile', width_mm: 69, value: 20, required: { length_m: 40 } }, { item_id: 'rail', width_mm: 58, value: 18, required: { length_m: 25 } }, { item_id: 'shelf', width_mm: 400, value: 1, required: { length_m: 5 } }] };
  await p.locator('#request-dialog textarea').fill(JSON.stringify(body));
  await p.locator('#request-dialog button', { hasText: 'Use what I wrote' }).click();
}

test('a quote can be stopped', async () => {
  const { p, wrong, close } = await open('#quote');
  await p.locator('[data-path="simulations"]').fill('900');
  await p.click('#quote-go');
  await p.locator('#quote-progress:not([hidden])').waitFor();
  await p.waitForTimeout(300);
  await p.click('#quote-go');
  await p.waitForFunction(() => document.getElementById('quote-go').textContent === 'Ask for the quote');
  assert.equal(await p.textContent('#quote-fault'), '');
  assert.ok(await p.locator('#quote-answer').isHidden());
  assert.deepEqual(wrong, []);
  await close();
});

test('where tokens are needed the page asks for one and keeps it nowhere', async () => {
  const { dir, remove } = house.folder();
  const token = 'line-abcdefghijklmnop', file = join(dir, 'tokens.yaml');
  writeFileSync(file, `- {name: saw, token: ${token}, scopes: [line]}\n`, { mode: 0o600 });
  const own = await house.service('--tokens', file);
  const { p, close } = await house.page(own.url);
  await p.locator('#token[open]').waitFor();
  assert.deepEqual(await house.faults(p), []);
  await p.fill('#token-field', 'not-the-right-token-at-all');
  await p.click('#token-use');
  await p.locator('#token-wrong:not([hidden])').waitFor();
  await p.fill('#token-field', token);
  await p.keyboard.press('Enter');
  await p.locator('#verdict.good').waitFor();
  assert.equal(await p.locator('#token[open]').count(), 0);
  assert.ok((await p.locator('#which-saw').textContent()).includes('heron (this service)'));
  const kept = await p.evaluate(() => JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie, location.href, document.documentElement.outerHTML]));
  assert.ok(!kept.includes(token), 'the token is kept somewhere');
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: /^curl$/ }).click();
  const curl = await p.locator('#request-dialog pre').textContent();
  assert.ok(curl.includes('Bearer $RIPWRIGHT_TOKEN') && !curl.includes(token));
  await p.locator('#request-dialog button', { hasText: 'Close' }).click();
  await p.click('#to-quote'); // this one needs another scope
  await p.click('#quote-go');
  await p.waitForFunction(() => /does not allow/.test(document.getElementById('quote-fault').textContent));
  await p.reload();
  await p.locator('#token[open]').waitFor();
  await p.click('#token-skip');
  await p.waitForFunction(() => /No token was given/.test(document.getElementById('verdict').textContent));
  assert.equal(await p.locator('#token[open]').count(), 0, 'who said no is not asked again');
  await p.click('#to-board');
  await p.click('#token-again');
  await p.fill('#token-field', token);
  await p.click('#token-use');
  await p.locator('#verdict.good').waitFor();
  await close();
  await own.stop();
  remove();
});

test('a service that goes is missed, and found again when it is back', async () => {
  const own = await house.service();
  const { p, close } = await house.page(own.url);
  await p.locator('#verdict.good').waitFor();
  await own.stop();
  await p.click('#board-next');
  await p.waitForFunction(() => /cannot be reached/.test(document.getElementById('verdict').textContent));
  assert.ok(await p.locator('#results').isHidden(), 'nothing old is shown for new');
  const again = await house.program(process.env.SERVER, ['--grpc', own.grpc, '--http', own.http, '--drain-delay', '0s'], /"msg":"serving"/);
  await p.locator('#verdict.good').waitFor({ timeout: 20000 });
  await close();
  await again.stop();
});

test('a plant that wants no page has none', async () => {
  const own = await house.service('--page=false');
  assert.equal((await fetch(own.url)).status, 404);
  assert.equal((await fetch(`${own.url}page/main.js`)).status, 404);
  assert.equal((await fetch(`${own.url}livez`)).status, 200);
  await own.stop();
});

test('the theme is the room\'s, or the one that was chosen', async () => {
  const ground = (p) => p.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  const dark = await open('', { scheme: 'dark' }), bright = await open('', { scheme: 'light' });
  const atNight = await ground(dark.p), byDay = await ground(bright.p);
  assert.notEqual(atNight, byDay);
  await dark.p.click('#theme button[value=bright]');
  assert.equal(await ground(dark.p), byDay);
  await dark.p.reload();
  await dark.p.locator('html[data-ready]').waitFor({ state: 'attached' });
  assert.equal(await ground(dark.p), byDay);
  await bright.p.click('#theme button[value=dark]');
  assert.equal(await ground(bright.p), atNight);
  await dark.close();
  await bright.close();
});

for (const size of Object.keys(house.sizes)) {
  for (const scheme of ['light', 'dark']) {
    test(`axe finds nothing and nothing overflows: ${size}, ${scheme}`, async () => {
      const { p, wrong, close } = await open('', { size, scheme, touch: size !== 'desktop' });
      const fits = async (what) => assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${what} is wider than the screen`);
      await p.locator('#verdict.good').waitFor();
      await p.locator('#add-defect').focus();
      await p.keyboard.press('Enter');
      await p.click('#keep');
      await p.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
      assert.deepEqual(await house.faults(p), []);
      await fits('the board');
      await p.evaluate(() => document.querySelectorAll('details details, details.item').forEach((d) => { d.open = false; }));
      await house.shot(p, `board-${size}-${scheme}`);
      await p.locator('[data-path="board.length_mm"]').fill('-4');
      await p.locator('#verdict.bad').waitFor();
      assert.deepEqual(await house.faults(p), []);
      await house.shot(p, `fault-${size}-${scheme}`, false);
      await p.locator('[data-path="board.length_mm"]').fill('2363');
      await p.click('#mine');
      await p.locator('#setting input').first().waitFor();
      assert.deepEqual(await house.faults(p), []);
      await house.shot(p, `setting-${size}-${scheme}`, false);
      await p.click('#request');
      assert.deepEqual(await house.faults(p), []);
      await house.shot(p, `request-${size}-${scheme}`, false);
      await p.keyboard.press('Escape');
      await p.click('#to-pack');
      await p.selectOption('#pace', 'Infinity');
      await p.click('#pack-go');
      await p.waitForFunction(() => Number.parseInt(document.querySelector('#pack-facts div:nth-child(2) dd').textContent) >= 12);
      await p.click('#pack-go');
      assert.deepEqual(await house.faults(p), []);
      await fits('the pack');
      await house.shot(p, `pack-${size}-${scheme}`);
      await small(p);
      await p.click('#to-quote');
      await p.locator('[data-path="lumber"]').selectOption('spread');
      await p.locator('[data-path="simulations"]').fill('3');
      await p.click('#quote-go');
      await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
      assert.deepEqual(await house.faults(p), []);
      await fits('the quote');
      await house.shot(p, `quote-${size}-${scheme}`);
      if (size !== 'desktop') {
        const least = await p.evaluate(() => Math.min(...[...document.querySelectorAll('button, select, input:not([type=checkbox])')].filter((e) => e.offsetParent).map((e) => e.getBoundingClientRect().height)));
        assert.ok(least >= 44, `something to touch is ${least} pixels high`);
      }
      assert.deepEqual(wrong, []);
      await close();
    });
  }
}
