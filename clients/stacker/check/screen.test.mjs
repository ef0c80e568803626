// The stacker's screen in a real browser, fed by a simulated line through the
// program, and what it shows when something breaks. STACKER and LINESIM name the
// binaries.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from '../../../server/page/check/house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

async function stacker(...args) {
  const p = await house.program(process.env.STACKER, ['--service', service.grpc, '--grpc', '127.0.0.1:0', '--http', '127.0.0.1:0', ...args], /connects to (\S+); the screen is (\S+)/);
  return { ...p, line: p.found[1], url: p.found[2] };
}

// begin starts a line and gives a way to end it, however it goes.
function begin(at, perMinute) {
  const child = house.start(process.env.LINESIM, ['--grpc', at, '--boards', '2000', '--per-minute', String(perMinute)]);
  return () => house.end(child, 'SIGKILL');
}

// hear gives the last picture that the program sends.
async function hear(url) {
  const stop = new AbortController();
  const answer = await fetch(`${url}events`, { signal: stop.signal });
  const { value } = await answer.body.pipeThrough(new TextDecoderStream()).getReader().read();
  stop.abort();
  return JSON.parse(value.split('\n')[0].slice('data: '.length));
}

const seen = (p) => p.evaluate(() => ({
  board: document.getElementById('board').textContent, says: document.getElementById('says').hidden ? '' : document.getElementById('says').textContent,
  strips: [...document.querySelectorAll('#strips li')].map((li) => li.classList.contains('waste') ? 'waste' : `${li.querySelector('.width').textContent} to ${li.querySelector('.stack').textContent}`),
}));

const shown = (p) => p.locator('#strips li').first().waitFor();

test('strips are shown as sent, in order from the fence, and none once the line has disconnected', async () => {
  const s = await stacker(), end = begin(s.line, 40);
  const o = await house.page(s.url), { p, wrong, asked } = o;
  await shown(p);
  for (let i = 0, same = 0; same < 3; i++) {
    const before = await hear(s.url), now = await seen(p), after = await hear(s.url);
    if (before.state === 'shown' && JSON.stringify(before) === JSON.stringify(after) && now.board.startsWith(`Board ${before.board},`)) {
      assert.deepEqual(now.strips, before.strips.map((k) => k.waste ? 'waste' : `${k.width} to ${k.stack}`));
      same++;
    }
    assert.ok(i < 100, 'the screen does not show what the program sends');
    await p.waitForTimeout(150);
  }
  const xs = await p.locator('#strips li').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().x));
  const fence = (await p.locator('#fence').boundingBox()).x;
  assert.deepEqual(xs, [...xs].sort((a, b) => a - b));
  assert.ok(fence < xs[0], 'the fence stands at the left');
  await end();
  await p.waitForFunction(() => document.getElementById('says').textContent === 'The line is not connected');
  assert.deepEqual((await seen(p)).strips, []);
  assert.deepEqual([...asked], [new URL(s.url).origin]);
  assert.deepEqual(wrong, []);
  await o.close();
  await s.stop();
});

test('the screen goes blank while the program is stopped or gone, and recovers', async () => {
  const s = await stacker(), end = begin(s.line, 60);
  const o = await house.page(s.url), { p } = o;
  await shown(p);
  s.child.kill('SIGSTOP'); // the connection stands, but nothing is said
  const silent = Date.now();
  await p.waitForFunction(() => document.getElementById('says').textContent === 'No connection' && !document.getElementById('says').hidden, null, { polling: 50 });
  assert.ok(Date.now() - silent < 5000, `blank after ${Date.now() - silent} ms`);
  assert.deepEqual((await seen(p)).strips, []);
  await house.shot(p, 'stacker-lost', false);
  s.child.kill('SIGCONT');
  await shown(p);
  s.child.kill('SIGKILL');
  await p.waitForFunction(() => document.getElementById('says').textContent === 'No connection' && !document.getElementById('says').hidden);
  assert.deepEqual((await seen(p)).strips, []);
  await end();
  const [, grpc] = s.found, again = await house.program(process.env.STACKER, ['--service', service.grpc, '--grpc', grpc, '--http', new URL(s.url).host], /connects to/);
  await p.waitForFunction(() => document.getElementById('says').textContent === 'The line is not connected', null, { timeout: 20000 });
  await o.close();
  await again.stop();
});

test('a stale board is not shown', async () => {
  const s = await stacker('--stale', '3s', '--show', 'planned');
  const o = await house.page(s.url), { p } = o;
  await p.waitForFunction(() => document.getElementById('says').textContent === 'The line is not connected');
  const end = begin(s.line, 8); // the first board comes at once, the next much later
  await shown(p);
  await p.waitForFunction(() => /^No board for \d+ s$/.test(document.getElementById('says').textContent));
  assert.deepEqual((await seen(p)).strips, []);
  await house.shot(p, 'stacker-stale', false);
  await end();
  await o.close();
  await s.stop();
});

test('when the service stops, the line is shown as disconnected', async () => {
  const own = await house.service();
  const s = await stacker('--service', own.grpc), end = begin(s.line, 60);
  const o = await house.page(s.url), { p } = o;
  await shown(p);
  await own.stop();
  await p.waitForFunction(() => document.getElementById('says').textContent === 'The line is not connected');
  assert.deepEqual((await seen(p)).strips, []);
  await end();
  await o.close();
  await s.stop();
});

test('long names and many strips fit', async () => {
  const s = await stacker();
  const strip = (stack, i) => ({ width: '1-31/32', item: 'an item with a long name of its own', stack, style: i, waste: false, is: '2', full: ['', '62', '100'][i % 3] });
  const waste = { width: '31', item: '', stack: '', style: -1, waste: true };
  const cases = {
    many: [...Array(14).keys()].map((i) => strip(String(i + 1), i)),
    names: [strip('left cart', 3), waste, strip('the tall stack behind the second post', 11), strip('right', 20)],
    longest: [strip('N'.repeat(128), 5), strip('2', 1)],
    one: [{ ...strip('7', 6), width: '141' }],
  };
  for (const [name, strips] of Object.entries(cases)) {
    for (const size of ['tablet', 'desktop']) {
      const picture = JSON.stringify({ state: 'shown', says: '', board: 'b'.repeat(20), strips, next: strips, next_board: 'c', unit: 'in', fence_left: true });
      const o = await house.page('about:blank', { size, scheme: 'dark' }), { p } = o;
      await p.addInitScript((data) => { // says the same for ever
        globalThis.EventSource = class { constructor() { setInterval(() => this.onmessage({ data }), 200); } };
      }, picture);
      await p.goto(s.url);
      await p.locator('#strips li').nth(strips.length - 1).waitFor();
      const broken = await p.evaluate(() => [...document.querySelectorAll('.stack')].filter((e) => e.textContent.length < 6 && e.getBoundingClientRect().height > 1.5 * Number.parseFloat(getComputedStyle(e).fontSize)).length);
      assert.equal(broken, 0, `${name}, ${size}: a short name is broken`);
      const cut = await p.evaluate(() => [...document.querySelectorAll('#strips li')].filter((li) => li.scrollWidth > li.clientWidth + 1 || li.scrollHeight > li.clientHeight + 1).length);
      assert.equal(cut, 0, `${name}, ${size}: a strip is clipped`);
      assert.ok(await p.evaluate(() => document.documentElement.scrollHeight <= innerHeight), `${name}, ${size}: it scrolls`);
      const told = strips.filter((t) => t.full).map((t) => t.full === '100' ? 'full' : `${t.full} %`);
      assert.deepEqual(await p.locator('.full:visible').allTextContents(), told, 'how full each stack is');
      await house.shot(p, `stacker-${name}-${size}`, false);
      await o.close();
    }
  }
  await s.stop();
});

for (const size of Object.keys(house.sizes)) {
  for (const scheme of ['light', 'dark']) {
    test(`it can be read from metres away: ${size}, ${scheme}`, async () => {
      const inches = scheme === 'dark';
      const s = await stacker('--fence', inches ? 'right' : 'left', '--units', inches ? 'in' : 'mm', '--show', 'planned'), end = begin(s.line, 30);
      const o = await house.page(s.url, { size, scheme }), { p, wrong } = o;
      await p.locator('#strips li:nth-child(3)').waitFor();
      assert.deepEqual(await house.faults(p), []);
      for (let i = 0; i < 8; i++) {
        const wide = await p.evaluate(() => [...document.querySelectorAll('#strips li:not(.waste)')].flatMap((li) => [...li.querySelectorAll('.stack, .width')].map((e) => e.scrollWidth - li.clientWidth)).filter((over) => over > 1));
        assert.deepEqual(wide, [], 'a width or a stack does not fit');
        const overflow = await p.evaluate(() => [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight]);
        assert.ok(overflow.every((v) => v <= 0), `scrolls by ${overflow}`);
        await p.waitForTimeout(300);
      }
      const [strips, high] = await p.evaluate(() => [document.querySelectorAll('#strips li').length, Number.parseFloat(getComputedStyle(document.querySelector('#strips .stack')).fontSize)]);
      const { width, height } = house.sizes[size];
      assert.ok(high >= Math.min(0.3 * height, 0.6 * width / strips), `${strips} strips, stacks ${high} pixels high`);
      if (inches) {
        const fence = (await p.locator('#fence').boundingBox()).x;
        assert.ok(fence > (await p.locator('#strips li').first().boundingBox()).x, 'the fence stands at the right');
      }
      await house.shot(p, `stacker-${size}-${scheme}`, false);
      await p.click('#room');
      assert.deepEqual(await house.faults(p), []);
      assert.deepEqual(wrong, []);
      await end();
      await o.close();
      await s.stop();
    });
  }
}
