// What came of running an order in two ways.

import { h, s, table } from './dom.js';
import { makeFrame } from './frame.js';
import { draw } from './drawing.js';
import { lineChart } from './chart.js';
import { accountBar } from './result.js';
import { many, manyM2, money, percent } from './units.js';

const cash = (v, currency) => currency ? `${money(v)} ${currency}` : money(v);

// saving says in one large number what the first run saves against the second.
export function saving([a, b], currency) {
  if (a.done !== 'filled' || b.done !== 'filled') return [];
  const priced = a.cost() !== undefined && b.cost() !== undefined;
  const less = priced ? b.cost() - a.cost() : b.sum.face_m2 - a.sum.face_m2, of = priced ? b.cost() : b.sum.face_m2;
  const boards = b.at - a.at, write = (v) => priced ? cash(v, currency) : manyM2(v);
  if (Math.abs(less) < 5e-3 * (priced ? 1 : 0.1)) return [h('p', {}, h('strong', { class: 'large' }, 'The same'), h('span', {}, ` amount of lumber is taken by ${a.name} and by ${b.name}.`))];
  const word = less > 0 ? 'less' : 'more', count = boards === 0 ? 'as many boards' : `${many(Math.abs(boards), 'board')} ${boards > 0 ? 'fewer' : 'more'}`;
  return [h('p', {}, h('strong', { class: 'large' }, write(Math.abs(less))), h('span', {}, ` ${word} for lumber by ${a.name} than by ${b.name}: ${percent(Math.abs(less) / of)} ${word}, ${count}.`)),
    ...less > 0 ? [] : [h('p', { class: 'verdict bad' }, `${b.name} takes less here.`)]];
}

// endings says how each run stands.
export function endings(runs) {
  const one = (r) => {
    if (r.done === 'filled') return 'the order is filled';
    if (r.done === 'through') return 'all boards were ripped';
    if (r.done === 'stuck') return `these boards do not fill ${r.open().map((f) => f.item_id).join(', ')}`;
    return r.at === 0 ? '' : `${r.open().length} items open`;
  };
  return runs.filter(one).map((r) => h('span', { class: 'ending' }, h('strong', {}, r.name), `: ${one(r)} after ${many(r.at, 'board')}. `));
}

// figures puts the runs side by side.
export function figures(runs, currency) {
  const [a, b] = runs;
  const at = (r, q) => {
    const sorted = [...r.times].sort((x, y) => x - y);
    return sorted.length ? `${(sorted[Math.floor(q * (sorted.length - 1))] / 1000).toFixed(2)} ms` : '–';
  };
  const both = (name, of, write = String) => {
    const [x, y] = [of(a), of(b)], known = x !== undefined && y !== undefined;
    return [name, x === undefined ? '–' : write(x), y === undefined ? '–' : write(y), known ? signed(x - y, write) : '–'];
  };
  const plain = (name, of) => [name, of(a), of(b), ''];
  return table('Comparison', ['figure', a.name, b.name, 'difference'], [
    both('Boards', (r) => r.at),
    both('Board feet', (r) => r.unknownFeet ? undefined : r.feet, (v) => v.toFixed(0)),
    both('Cost of the lumber', (r) => r.cost(), (v) => cash(v, currency)),
    both('Face', (r) => r.sum.face_m2, manyM2),
    both('Yield', (r) => 100 * r.yield(), (v) => `${v.toFixed(1)} %`),
    ...a.saw.name === b.saw.name ? [] : [plain('Saw', (r) => r.saw.name || 'without a name')],
    ...runs.some((r) => r.plans) ? [plain('Values planned', (r) => r.plans ? many(r.plans, 'time') : 'never')] : [],
    plain('Plans proven', (r) => `${r.proven} of ${r.at}`),
    plain('Search, median', (r) => at(r, 0.5)),
    plain('Search, 99th percentile', (r) => at(r, 0.99)),
  ]);
}

const signed = (v, write) => `${v > 0 ? '+' : v < 0 ? '−' : ''}${write(Math.abs(v))}`;

export const accounts = (runs) => runs.filter((r) => r.at).flatMap((r) => [h('h3', {}, r.name), ...accountBar(r.sum)]);

// yields draws the yield of all boards so far, and of each board of the first run.
export function yields(runs, width, boards) {
  const [a, b] = runs;
  return lineChart(width || 320, { label: `Yield: ${runs.map((r) => `${r.name} ${percent(r.yield())} after ${r.at} boards`).join('; ')}`,
    x: 'boards; each dot is one', y: 'yield, %', low: 0, high: 100, most: boards,
    series: [{ name: '', dots: true, tint: 0, points: a.each }, { name: b.name, ghost: true, tint: 1, points: b.mean }, { name: a.name, tint: 0, points: a.mean }] });
}

// lastBoard draws the board that was ripped last.
export function lastBoard(svg, last) {
  if (!last || !svg.clientWidth) return;
  const f = makeFrame(svg.clientWidth, Math.min(Math.max(innerHeight * 0.32, 190), 320), last.board, last.saw, last.plan);
  if (!f) return;
  svg.setAttribute('viewBox', `0 0 ${f.width} ${f.height}`);
  svg.setAttribute('height', f.height);
  svg.setAttribute('aria-label', `Board ${last.board.board_id}, ripped`);
  svg.replaceChildren(s('g', {}, ...draw(f, last)));
}
