// Draws a board and how it is ripped, to scale. Strips are told apart by their
// letters, waste by its hatching, so that it reads without colours too.

import { s } from './dom.js';
import { ticks } from './frame.js';
import { units, width } from './units.js';
import { letter, tint, patternFill, placeOf } from './marks.js';

let drawings = 0;

// hatches are the grounds of a drawing; ids are a page's, so each drawing has its own.
function hatches(id) {
  const lines = (name, turn, step, cls) => s('pattern', { id: `${id}-${name}`, width: step, height: step, patternUnits: 'userSpaceOnUse', patternTransform: `rotate(${turn})` },
    s('rect', { width: step, height: step, class: `ground-${name}` }), s('path', { d: cls === 'cross' ? `M0 0V${step}M0 0H${step}` : `M0 0V${step}`, class: `hatch-${name}` }));
  return s('defs', {}, lines('edging', 45, 9), lines('offcut', 45, 9, 'cross'), lines('endtrim', -45, 7), lines('loss', 0, 5));
}

// draw gives the scene as SVG elements. job has board, saw and order; plan may be
// absent; ghost is a plan to compare with; defects before the index plain are left
// to others.
export function draw(f, { board, saw, order, plan, ghost, plain = 0 }) {
  const id = `d${drawings++}`;
  const kerf = saw.kerf_mm ?? 0;
  const clip = s('clipPath', { id: `${id}-wood` }, s('path', { d: woodPath(f, board) }));
  const parts = [hatches(id), clip, rules(f)];
  if (plan) parts.push(idleBlades(f, plan, kerf));
  parts.push(s('path', { d: woodPath(f, board), class: 'wood' }));
  if (plan) {
    const inWood = s('g', { 'clip-path': `url(#${id}-wood)` });
    inWood.append(s('rect', { x: f.left, y: 0, width: f.end - f.left, height: f.height, fill: `url(#${id}-edging)` }));
    plan.pockets?.forEach((k) => inWood.append(...pocket(f, k, order, plan, board, kerf, id)));
    plan.setting?.blades_mm?.forEach((b) => {
      const y = b - (plan.setting.fence_mm ?? 0);
      inWood.append(s('rect', { x: f.left, y: f.y(y + kerf), width: f.end - f.left, height: Math.max(f.y(y) - f.y(y + kerf), 1), class: 'kerf' }));
    });
    parts.push(inWood);
  }
  parts.push(s('path', { d: edge(f, board, 'near_mm'), class: board.near_edge_straight ? 'sawn' : 'wane' }), s('path', { d: edge(f, board, 'far_mm'), class: 'wane' }));
  if (ghost) parts.push(ghosts(f, ghost));
  parts.push(s('path', { d: (board.defects ?? []).slice(plain).map((d) => defectPath(f, d)).join(''), class: 'defect' }));
  if (plan) plan.pockets?.forEach((k) => parts.push(...labels(f, k, order)));
  parts.push(s('rect', { x: f.left - 10, y: f.y(0), width: f.end - f.left + 20, height: 7, class: 'fence' }));
  return parts;
}

function points(f, board, name) {
  const st = board.stations, at = (x, p) => `${f.x(x).toFixed(2)} ${f.y((p[name] ?? 0) + f.off(x)).toFixed(2)}`;
  return [at(0, st[0]), ...st.map((p) => at(p.x_mm ?? 0, p)), at(f.length, st.at(-1))];
}

const edge = (f, board, name) => `M${points(f, board, name).join('L')}`;
const woodPath = (f, board) => `M${[...points(f, board, 'near_mm'), ...points(f, board, 'far_mm').reverse()].join('L')}Z`;

// defectPath is the outline of a defect, where the board is set at an angle too.
export function defectPath(f, d) {
  const from = d.from_x_mm ?? 0, mid = f.off((from + (d.to_x_mm ?? 0)) / 2);
  const x = f.x(from), w = Math.max(f.x(d.to_x_mm ?? 0) - x, 3), y = f.y((d.to_y_mm ?? 0) + mid), high = Math.max(f.y((d.from_y_mm ?? 0) + mid) - y, 3);
  return `M${x} ${y}h${w}v${high}h${-w}z`;
}

// touches reports whether there is wood between two heights.
function touches(f, board, low, high) {
  return board.stations.some((p) => {
    const off = f.off(p.x_mm ?? 0);
    return (p.near_mm ?? 0) + off < high && (p.far_mm ?? 0) + off > low && (p.far_mm ?? 0) > (p.near_mm ?? 0);
  });
}

function pocket(f, k, order, plan, board, kerf, id) {
  if (k.width_mm <= 0) return [];
  const y = f.y(k.far_mm), high = f.y(k.near_mm) - y;
  const box = (from, to, attributes) => s('rect', { x: f.x(from), y, width: Math.max(f.x(to) - f.x(from), 0), height: high, ...attributes });
  const all = box(0, f.length, {});
  if (!k.item_id) {
    const both = [k.near_blade, k.far_blade].every((b) => b !== undefined && b !== null
      && touches(f, board, plan.setting.blades_mm[b] - (plan.setting.fence_mm ?? 0), plan.setting.blades_mm[b] - (plan.setting.fence_mm ?? 0) + kerf));
    if (!both) return [];
    all.setAttribute('fill', `url(#${id}-offcut)`);
    return [all];
  }
  all.setAttribute('fill', `url(#${id}-endtrim)`);
  const i = placeOf(order, k.item_id);
  const cut = (order.items[i]?.crosscut?.lengths ?? []).length > 0;
  const over = patternFill(i);
  const ground = (from, to) => [box(from, to, { class: `strip tint${tint(i)}` }), over ? box(from, to, { fill: over }) : null].filter((e) => e);
  return [all, ...(k.stretches ?? []).flatMap((r) => cut ? box(r.from_mm ?? 0, r.to_mm, { fill: `url(#${id}-loss)` }) : ground(r.from_mm ?? 0, r.to_mm)),
    ...(k.pieces ?? []).flatMap((p) => ground(p.from_mm ?? 0, p.to_mm))];
}

// labels writes into each strip as much as there is room for.
function labels(f, k, order) {
  const high = f.y(k.near_mm) - f.y(k.far_mm), size = Math.min(14, high - 3);
  if (size < 8 || k.width_mm <= 0 || !k.item_id) return [];
  const mark = letter(placeOf(order, k.item_id));
  const wide = width(k.width_mm);
  const stretches = k.pieces?.length ? k.pieces : k.stretches ?? [];
  return stretches.flatMap((r) => {
    const room = f.x(r.to_mm) - f.x(r.from_mm ?? 0) - 8;
    const text = [`${mark}: ${k.item_id}, ${wide}`, `${mark}: ${wide}`, mark].find((t) => t.length * size * 0.6 < room);
    if (!text) return [];
    const x = (f.x(r.from_mm ?? 0) + f.x(r.to_mm)) / 2, y = (f.y(k.near_mm) + f.y(k.far_mm)) / 2, over = text.length * size * 0.6 + 6;
    return [s('rect', { x: x - over / 2, y: y - size * 0.62, width: over, height: size * 1.24, rx: 3, class: 'plate' }), s('text', { x, y: y + size * 0.35, 'font-size': size, 'text-anchor': 'middle', class: 'strip-label' }, text)];
  });
}

// idleBlades shows beside the wood where every blade stands.
function idleBlades(f, plan, kerf) {
  return s('g', {}, (plan.setting?.blades_mm ?? []).map((b) => b - (plan.setting.fence_mm ?? 0)).filter((y) => y >= f.low && y + kerf <= f.high)
    .map((y) => s('rect', { x: f.left - 8, y: f.y(y + kerf), width: f.end - f.left + 16, height: Math.max(f.y(y) - f.y(y + kerf), 1), class: 'idle' })));
}

// ghosts are the blades of the plan that is compared with.
function ghosts(f, plan) {
  return s('g', { class: 'ghosts' }, (plan.setting?.blades_mm ?? []).map((b) => b - (plan.setting.fence_mm ?? 0)).filter((y) => y >= f.low && y <= f.high)
    .map((y) => s('path', { d: `M${f.left - 8} ${f.y(y)}H${f.end + 8}`, class: 'ghost' })));
}

const metricSteps = [10, 20, 50, 100, 200, 500, 1000, 2000, 5000], inchSteps = [0.5, 1, 2, 4, 6, 12, 24, 48, 96, 192].map((v) => v * 25.4);

function rules(f) {
  const inch = units() === 'in', steps = inch ? inchSteps : metricSteps, g = s('g', { class: 'rules' });
  for (const v of ticks(0, f.length, f.along, f.narrow ? 52 : 70, steps)) {
    const text = inch ? `${Math.round(v / 304.8 * 100) / 100}` : `${v / 1000}`;
    g.append(s('path', { d: `M${f.x(v)} ${f.floor}v5` }), s('text', { x: f.x(v), y: f.floor + 18, 'text-anchor': 'middle' }, text));
  }
  for (const v of ticks(Math.max(f.low, 0), f.high, f.across, 26, steps)) {
    g.append(s('path', { d: `M${f.left - 13} ${f.y(v)}h-5` }), s('text', { x: f.left - 20, y: f.y(v) + 4, 'text-anchor': 'end' }, inch ? `${Math.round(v / 25.4 * 10) / 10}` : `${v}`));
  }
  if (f.labelled) g.append(s('text', { x: f.end + 25, y: 12, 'font-style': 'italic' }, f.narrow ? 'on the arbor' : 'positions on the arbor'));
  const along = inch ? 'ft along the feed' : 'm along the feed', across = inch ? 'in across' : 'mm across';
  g.append(s('text', { x: f.left, y: f.height - 8 }, f.narrow ? `${along}, ${across} × ${f.times}` : `${along}; ${across} from the fence face, ${f.times === 1 ? 'to the same scale' : `drawn ${f.times} times larger`}`));
  return g;
}
