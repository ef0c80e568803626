// Items are told apart in grey: what is compared is the grey picture of their grounds,
// without letters, in strips as low as letters are still written into.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import * as house from './house.mjs';

let service;
before(async () => { service = await house.service(); });
after(async () => { await service.stop(); await house.close(); });

const items = 12, wide = 120, high = 14;
const least = 9; // of 255 levels of grey, as the root of the mean square, however one is shifted against the other

// greys gives the picture of each ground as luma (ITU-R BT.601).
async function greys(scheme) {
  const { p, close } = await house.page(service.url, { scheme });
  await p.locator('html[data-ready]').waitFor({ state: 'attached' });
  await p.evaluate(async ([items, wide, high]) => {
    const { tint, patternFill } = await import('/page/marks.js'), { h, s } = await import('/page/dom.js');
    document.body.replaceChildren(h('div', { id: 'grounds' }, [...Array(items).keys()].map((i) => s('svg', { width: wide, height: high },
      s('rect', { width: wide, height: high, class: `tint${tint(i)}` }), patternFill(i) ? s('rect', { width: wide, height: high, fill: patternFill(i) }) : null))));
    document.body.append((await import('/page/marks.js')).definitions());
  }, [items, wide, high]);
  const all = [];
  for (const e of await p.locator('#grounds svg').all()) all.push((await e.screenshot()).toString('base64'));
  await house.shot(p, `grounds-${scheme}`, false);
  await close();
  const blank = await (await house.open()).newPage();
  const read = await blank.evaluate(async ([pictures, wide, high]) => Promise.all(pictures.map(async (data) => {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    await image.decode();
    const canvas = Object.assign(document.createElement('canvas'), { width: wide, height: high }).getContext('2d');
    canvas.drawImage(image, 0, 0);
    const { data: d } = canvas.getImageData(0, 0, wide, high);
    return [...Array(wide * high).keys()].map((i) => 0.299 * d[4 * i] + 0.587 * d[4 * i + 1] + 0.114 * d[4 * i + 2]);
  })), [all, wide, high]);
  await blank.close();
  return read;
}

// apart is the least difference over all shifts of one ground against the other.
function apart(a, b) {
  let best = Infinity;
  for (let dy = 0; dy < high; dy++) {
    for (let dx = 0; dx < 40; dx++) {
      let sum = 0, n = 0;
      for (let y = 0; y + dy < high; y++) {
        for (let x = 0; x + dx < wide; x++, n++) sum += (a[y * wide + x] - b[(y + dy) * wide + x + dx]) ** 2;
      }
      if (n >= wide * high / 3) best = Math.min(best, Math.sqrt(sum / n));
    }
  }
  return best;
}

for (const scheme of ['light', 'dark']) {
  test(`twelve items differ in grey, each from each: ${scheme}`, async () => {
    const all = await greys(scheme), worst = { by: Infinity };
    for (let i = 0; i < items; i++) {
      for (let k = 0; k < i; k++) {
        const by = apart(all[i], all[k]);
        if (by < worst.by) Object.assign(worst, { by, pair: [k, i] });
      }
    }
    assert.ok(worst.by >= least, `items ${worst.pair} differ by ${worst.by.toFixed(1)}`);
    assert.equal(apart(all[3], all[3]), 0, 'equal grounds differ by 0');
  });
}

test('an item has the same letter in the page and in the picture of the service', async () => {
  const { p, close } = await house.page(service.url);
  await p.locator('#verdict.good').waitFor();
  const shown = await p.locator('#strips tbody td:nth-child(2)').evaluateAll((all) => all.map((e) => e.textContent));
  await p.click('#request');
  const body = JSON.parse(await p.locator('#request-dialog pre').textContent());
  delete body.options;
  const answer = await fetch(`${service.url}v1/boards:draw`, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  const { svg } = await answer.json();
  assert.ok(shown.length > 0);
  for (const name of shown) {
    const [, letter, item] = /^([A-Z]\d*)[A-Z\d]* (.*)$/.exec(name);
    assert.ok(svg.includes(`>${letter}: ${item},`), `the picture has no ${letter}: ${item}`);
  }
  await close();
});
