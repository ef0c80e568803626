// Pages of other sites cannot have a browser call the service.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { createServer } from 'node:http';
import * as house from './house.mjs';

let service, evil, taken;

const body = JSON.stringify({ saw_name: 'heron', board: { length_mm: 2000, stations: [{ far_mm: 200 }] }, order: { items: [{ item_id: 'a', width_mm: 60, value: 1 }] } });

const listening = (handler) => new Promise((done) => {
  const s = createServer(handler).listen(0, '127.0.0.1', () => done(s));
});
const portOf = (s) => s.address().port;

before(async () => {
  service = await house.service();
  evil = await listening((_, w) => w.setHeader('Content-Type', 'text/html').end('<!doctype html><title>another site</title>'));
  // The control accepts every call, as an unguarded service would.
  const all = [];
  const control = await listening((r, w) => { if (r.url !== '/favicon.ico') all.push(`${r.method} ${r.headers['content-type'] ?? ''}`); w.end('taken'); });
  taken = { all, url: `http://127.0.0.1:${portOf(control)}/`, close: () => control.close() };
});

after(async () => {
  evil.close();
  taken.close();
  await house.close();
});

// solved counts the calls that got as far as the service behind the HTTP side.
async function solved() {
  const text = await (await fetch(`${service.url}metrics`)).text();
  return [...text.matchAll(/^ripwright_request_duration_seconds_count\{[^}]*\} (\d+)$/gm)].reduce((sum, m) => sum + Number(m[1]), 0);
}

// attack does what a page may do without permission; it cannot read the answers.
const attack = ([url, body]) => Promise.allSettled([
  fetch(url, { method: 'POST', mode: 'no-cors', body }), // text/plain
  fetch(url, { method: 'POST', mode: 'no-cors', body: new Blob([body]) }), // no content type
  fetch(url, { method: 'POST', mode: 'no-cors', body: new URLSearchParams([[body, '']]) }),
  fetch(url, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body }), // with a preflight
  new Promise((done) => {
    const f = document.createElement('form');
    Object.assign(f, { method: 'POST', action: url, enctype: 'text/plain', target: 'hidden' });
    const i = document.createElement('input');
    Object.assign(i, { name: body.slice(0, -1), value: '}' });
    f.append(i);
    const frame = document.createElement('iframe');
    frame.name = 'hidden';
    frame.onload = done;
    document.body.append(frame, f);
    f.submit();
    setTimeout(done, 2000);
  }),
]).then((all) => all.map((r) => r.value?.type ?? r.status));

test('a page of another site cannot call', async () => {
  const t = await house.page(`http://evil.example:${portOf(evil)}/`);
  await t.p.evaluate(attack, [`${taken.url}v1/boards:solve`, body]);
  // A frame is also loaded before its form is sent.
  const posts = () => taken.all.filter((r) => r.startsWith('POST')).length;
  for (let i = 0; i < 100 && posts() < 4; i++) await new Promise((done) => setTimeout(done, 100));
  assert.equal(posts(), 4, `the attack does not reach the control: ${taken.all}`);
  const before = await solved();
  const came = await t.p.evaluate(attack, [`${service.url}v1/boards:solve`, body]);
  assert.equal(await solved(), before, `calls reached the service: ${came}`);
  assert.equal(came[3], 'rejected', 'the preflight was allowed');
  await t.close();
});

test('a page of a foreign name that resolves here cannot call or read', async () => {
  const t = await house.page(`http://evil.example:${service.http.split(':')[1]}/`);
  const before = await solved();
  const got = await t.p.evaluate(async (body) => {
    const codes = [];
    for (const path of ['/v1/saws', '/metrics', '/page/saws.json', '/openapi.yaml', '/']) codes.push((await fetch(path)).status);
    codes.push((await fetch('/v1/boards:solve', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).status);
    return codes;
  }, body);
  assert.deepEqual(got, [421, 421, 421, 421, 421, 421]);
  assert.equal(await solved(), before);
  await t.close();
});

test('a link on another site leads to the page, which works', async () => {
  const t = await house.page(`http://evil.example:${portOf(evil)}/`);
  await t.p.evaluate((url) => { const a = document.createElement('a'); a.href = url; a.textContent = 'rip'; document.body.append(a); }, service.url);
  await t.p.click('a');
  await t.p.waitForURL(service.url);
  const code = await t.p.evaluate(async (body) => (await fetch('/v1/boards:solve', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).status, body);
  assert.equal(code, 200);
  assert.deepEqual(t.wrong, []);
  await t.close();
});
