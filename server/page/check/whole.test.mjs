// Tokens, outages, and accessibility and layout of every view.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
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

test('where tokens are needed the page asks for one and does not store it', async () => {
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
  assert.ok(!kept.includes(token), 'the token is stored');
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
  await p.waitForFunction(() => /No token was entered/.test(document.getElementById('verdict').textContent));
  assert.equal(await p.locator('#token[open]').count(), 0, 'a declined token is not asked for again');
  await p.click('#to-board');
  await p.click('#token-again');
  await p.fill('#token-field', token);
  await p.click('#token-use');
  await p.locator('#verdict.good').waitFor();
  await close();
  await own.stop();
  remove();
});

test('an outage is shown, and the page recovers', async () => {
  const own = await house.service();
  const { p, close } = await house.page(own.url);
  await p.locator('#verdict.good').waitFor();
  await own.stop();
  await p.click('#board-next');
  await p.waitForFunction(() => /cannot be reached/.test(document.getElementById('verdict').textContent));
  assert.ok(await p.locator('#results').isHidden(), 'old results are hidden');
  const again = await house.program(process.env.SERVER, ['--grpc', own.grpc, '--http', own.http, '--drain-delay', '0s'], /"msg":"serving"/);
  await p.locator('#verdict.good').waitFor({ timeout: 20000 });
  await close();
  await again.stop();
});

test('--page=false turns the page off', async () => {
  const own = await house.service('--page=false');
  assert.equal((await fetch(own.url)).status, 404);
  assert.equal((await fetch(`${own.url}page/main.js`)).status, 404);
  assert.equal((await fetch(`${own.url}livez`)).status, 200);
  await own.stop();
});

test('the theme is the system\'s, or the chosen one', async () => {
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

const packs = readFileSync(new URL('../../../clients/ripctl/command/mill/packs.csv', import.meta.url), 'utf8');

// Colours do not depend on the size, so both schemes are tried on one size only.
for (const [size, scheme] of [['phone', 'light'], ['tablet', 'dark'], ['desktop', 'light'], ['desktop', 'dark']]) {
  test(`axe finds no faults and nothing overflows: ${size}, ${scheme}`, async () => {
    const { p, wrong, close } = await open('', { size, scheme, touch: size !== 'desktop' });
    const uncut = async (what) => assert.deepEqual(await p.evaluate(() => [...document.querySelectorAll('select')].filter((e) => {
      const pen = document.createElement('canvas').getContext('2d'), { font, paddingLeft } = getComputedStyle(e);
      pen.font = font;
      return e.offsetParent && pen.measureText(e.selectedOptions[0]?.text ?? '').width > e.clientWidth - 2 * parseFloat(paddingLeft) - 16; // less its arrow
    }).map((e) => e.selectedOptions[0].text)), [], `the text of a choice is clipped in ${what}`);
    const fits = async (what) => assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${what} is wider than the screen`);
    await p.locator('#verdict.good').waitFor();
    await p.locator('#add-defect').focus();
    await p.keyboard.press('Enter');
    await p.click('#keep');
    await p.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    assert.deepEqual(await house.faults(p), []);
    await fits('the board');
    await p.evaluate(() => document.querySelectorAll('details details').forEach((d) => { d.open = false; }));
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
    await p.waitForFunction(() => document.querySelectorAll('#pack-chart .dots circle').length >= 12, null, { timeout: 60000 });
    await p.click('#pack-go');
    assert.deepEqual(await house.faults(p), []);
    await fits('the pack');
    await house.shot(p, `pack-${size}-${scheme}`);
    await house.small(p);
    await p.click('#to-quote');
    await p.locator('[data-path="lumber.lots[0]"]').selectOption('spread');
    await p.locator('[data-path="simulations"]').fill('3');
    await p.click('#quote-go');
    await p.locator('#quote-answer:not([hidden])').waitFor({ timeout: 100000 });
    assert.deepEqual(await house.faults(p), []);
    await fits('the quote');
    await uncut('the quote');
    await house.shot(p, `quote-${size}-${scheme}`);
    await p.setInputFiles('#files', { name: 'packs.csv', mimeType: 'text/csv', buffer: Buffer.from(packs) });
    await p.locator('#tally-answer table').first().waitFor();
    assert.deepEqual(await house.faults(p), []);
    await fits('the tally');
    await uncut('the tally');
    assert.ok(await p.evaluate(() => [...document.querySelectorAll('.packs thead th')].find((e) => /money/.test(e.textContent)).getBoundingClientRect().right <= innerWidth), 'money is outside the view');
    await house.shot(p, `tally-${size}-${scheme}`);
    if (size !== 'desktop') {
      const least = await p.evaluate(() => Math.min(...[...document.querySelectorAll('button, select, input:not([type=checkbox])')].filter((e) => e.offsetParent).map((e) => e.getBoundingClientRect().height)));
      assert.ok(least >= 44, `a control is ${least} pixels high, want at least 44`);
    }
    assert.deepEqual(wrong, []);
    await close();
  });
}
