// Small charts side by side, one an item: how much of it is filled over the boards,
// of two runs.

import { h, s } from './dom.js';
import { swatch, tint } from './marks.js';
import { amount, measure } from './units.js';

const wide = 220, high = 96, left = 4, right = 4, top = 6, bottom = 18;

// multiples draws a chart an item of runs {name, trace, fills}; the first is drawn
// whole, the second by dashes.
export function multiples(order, runs, boards) {
  const X = (n) => left + n / Math.max(boards, 1) * (wide - left - right), Y = (v) => high - bottom - v * (high - top - bottom);
  return (order.items ?? []).map((it, i) => {
    const at = runs.map((r) => reached(r, i));
    const g = s('svg', { viewBox: `0 0 ${wide} ${high}`, class: 'chart', role: 'img', 'aria-label': `${it.item_id}: ${runs.map((r, k) => `${r.name} ${at[k]}`).join('; ')}` },
      s('path', { d: `M${left} ${Y(1)}H${wide - right}M${left} ${Y(0)}H${wide - right}`, class: 'line-grid' }),
      runs.map((r, k) => {
        const points = [[0, 0], ...r.trace.map((t, n) => [n + 1, t[i] ?? 0])];
        const d = `M${thin(points).map(([x, y]) => `${X(x).toFixed(1)} ${Y(y).toFixed(1)}`).join('L')}`;
        return s('path', { d, class: `series ${k ? 'ghost dash1' : `ink${tint(i)}`}` });
      }),
      s('text', { x: left, y: high - 4 }, '0'), s('text', { x: wide - right, y: high - 4, 'text-anchor': 'end' }, `${boards} boards`));
    return h('li', {}, h('p', {}, swatch(i), ` ${it.item_id}`, h('span', { class: 'unit' }, wanted(runs, i))), g,
      h('ul', { class: 'ends' }, runs.map((r, k) => h('li', {}, h('span', { class: k ? 'key dashed' : 'key' }), `${r.name}: ${at[k]}`))));
  });
}

function wanted(runs, i) {
  const f = runs.find((r) => r.fills[i])?.fills[i];
  if (!f) return '';
  if (f.lengths?.length) return ` ${f.lengths.length} lengths`;
  return f.required ? ` ${amount(f.required)}` : ' no limit';
}

// reached says how far an item is: filled at which board, or how much of it.
function reached(run, i) {
  const n = run.trace.findIndex((t) => t[i] >= 1);
  if (n >= 0) return `filled at board ${n + 1}`;
  const f = run.fills[i];
  if (!f) return 'not started';
  const part = run.trace.at(-1)?.[i];
  return part === undefined ? `${amount(f.made_after)} made` : `${(100 * part).toFixed(0)} % filled${measure(f.made_after) === 0 ? ', none made' : ''}`;
}

// thin leaves out points that no eye would miss.
function thin(points) {
  const step = Math.ceil(points.length / wide);
  return points.filter((_, i) => i % step === 0 || i === points.length - 1);
}
