// Starts the service and a browser for the tests of the page. Where the packages
// playwright-core and axe-core are is said by NODE_PATH; SHOTS names a folder for
// pictures to be looked at.

import { createRequire } from 'node:module';
import { mkdtempSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { endAll } from './program.mjs';

export { end, program, service, start } from './program.mjs';

const need = createRequire(import.meta.url);
const { chromium } = need('playwright-core');
const axe = readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8');

export const sizes = { phone: { width: 390, height: 844 }, tablet: { width: 1024, height: 768 }, desktop: { width: 1440, height: 900 } };

let browser;

export async function open() {
  browser ??= await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', headless: true,
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
      '--host-resolver-rules=MAP evil.example 127.0.0.1'] }); // a name that was made to lead here
  return browser;
}

// close ends all that was started.
export async function close() {
  await browser?.close();
  browser = undefined;
  await endAll();
}

// page opens a page of its own and notes whatever goes wrong in it.
export async function page(url, { size = 'desktop', scheme = 'light', touch = false, ...more } = {}) {
  const context = await (await open()).newContext({ viewport: sizes[size], colorScheme: scheme, hasTouch: touch, reducedMotion: 'reduce', ...more });
  const p = await context.newPage();
  const wrong = [], asked = new Set();
  p.on('console', (m) => { if (m.type() === 'error' && !/status of 4\d\d|ERR_CONNECTION_REFUSED|status of 503/.test(m.text())) wrong.push(m.text()); });
  p.on('pageerror', (e) => wrong.push(String(e)));
  p.on('request', (r) => asked.add(new URL(r.url()).origin));
  await p.goto(url);
  return { p, wrong, asked, close: () => context.close() };
}

// faults runs axe and gives what it finds, in a line each.
export async function faults(p) {
  const session = await p.context().newCDPSession(p); // the page's policy lets no script of ours in
  const run = async (expression) => (await session.send('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true })).result.value;
  await run(`${axe};0`);
  const found = await run(`axe.run(document, {resultTypes: ['violations']}).then((r) => r.violations.flatMap((v) => v.nodes.map((n) => v.id + ': ' + n.target.join(' ') + ' ' + n.failureSummary.replace(/\\s+/g, ' ').slice(0, 240))))`);
  await session.detach();
  if (!Array.isArray(found)) throw new Error('axe did not run');
  return found;
}

export async function shot(p, name, whole = true) {
  const dir = process.env.SHOTS;
  if (!dir) return;
  mkdirSync(dir, { recursive: true });
  await p.screenshot({ path: join(dir, `${name}.png`), fullPage: whole });
}

// printed writes the page as it would be printed, on both of the usual papers.
export async function printed(p, name) {
  const dir = process.env.SHOTS;
  if (!dir) return;
  mkdirSync(dir, { recursive: true });
  for (const format of ['A4', 'Letter']) await p.pdf({ path: join(dir, `${name}-${format}.pdf`), format });
}

// small puts an order under work that is filled by a few boards.
export async function small(p) {
  await p.click('#to-board');
  if (await p.getAttribute('#mine', 'aria-pressed') === 'true') await p.click('#mine');
  await p.click('#request');
  await p.locator('#request-dialog button', { hasText: 'Edit as JSON' }).click();
  const body = JSON.parse(await p.locator('#request-dialog textarea').inputValue());
  body.order = { order_id: 'small', items: [{ item_id: 'stile', width_mm: 69, value: 20, required: { length_m: 40 } }, { item_id: 'rail', width_mm: 58, value: 18, required: { length_m: 25 } }, { item_id: 'shelf', width_mm: 400, value: 1, required: { length_m: 5 } }] };
  await p.locator('#request-dialog textarea').fill(JSON.stringify(body));
  await p.locator('#request-dialog button', { hasText: 'Use this JSON' }).click();
}

export function folder() {
  const dir = mkdtempSync(join(tmpdir(), 'ripwright-page-'));
  return { dir, remove: () => rmSync(dir, { recursive: true, force: true }) };
}
