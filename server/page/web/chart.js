// Charts of lines and of intervals, drawn as SVG. Lines are told apart by their
// dashes and by names at their ends, not by colour alone.

import { s } from './dom.js';
import { tint } from './marks.js';
import { spread } from './spread.js';

const round = (v) => Number(v.toPrecision(3));

// steps gives about n round numbers from low to high, at least so far apart.
export function steps(low, high, n, least = 0) {
  const raw = Math.max((high - low) / n || 1, least), ten = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((m) => m * ten).find((v) => v >= raw);
  const all = [];
  for (let v = Math.ceil(low / step) * step; v <= high + step * 1e-6; v += step) all.push(Math.abs(v) < step * 1e-6 ? 0 : v);
  return all;
}

const letterWide = 7, line = 13, mostLetters = 16, mostLines = 3; // of names at the ends of lines

// wrapped breaks a name into lines; what is longer than people call things is cut.
export function wrapped(name) {
  const lines = [''];
  for (const word of name.split(' ')) {
    const now = lines.at(-1) ? `${lines.at(-1)} ${word}` : word;
    if (now.length <= mostLetters || !lines.at(-1)) lines[lines.length - 1] = now;
    else lines.push(word);
  }
  if (lines.length <= mostLines && lines.every((l) => l.length <= mostLetters)) return lines;
  return lines.slice(0, mostLines).map((l) => l.length > mostLetters ? `${l.slice(0, mostLetters - 1)}…` : l);
}

// lineChart draws series of {name, short, tint, points: [[x, y]], dots, ghost} with y from
// low to high. Where there is little room a line is named by short, if it has that, and
// else by its name in several lines. It is told in words by label.
export function lineChart(width, { label, x: xName, y: yName, low, high, most, series, write = round }) {
  const narrow = width < 560, named = (one) => narrow && one.short ? [one.short] : wrapped(one.name ?? ''), left = 48, top = 12;
  const right = 22 + letterWide * Math.max(...series.map((one) => Math.max(...named(one).map((l) => l.length)))), bottom = 42, height = narrow ? 240 : 300;
  const X = (v) => left + v / (most || 1) * (width - left - right), Y = (v) => height - bottom - (v - low) / (high - low || 1) * (height - top - bottom);
  const g = s('svg', { viewBox: `0 0 ${width} ${height}`, width, height, role: 'img', 'aria-label': label, class: 'chart' });
  for (const v of steps(low, high, 5)) g.append(s('path', { d: `M${left} ${Y(v)}H${width - right}`, class: 'line-grid' }), s('text', { x: left - 6, y: Y(v) + 4, 'text-anchor': 'end' }, write(v)));
  for (const v of steps(0, most || 1, narrow ? 4 : 8)) g.append(s('text', { x: X(v), y: height - bottom + 18, 'text-anchor': 'middle' }, round(v)));
  g.append(s('text', { x: left, y: height - 6 }, `${yName} over ${xName}`));
  const ends = [];
  for (const one of series) {
    if (one.points.length === 0) continue;
    const cls = `series ${one.ghost ? 'ghost' : `ink${tint(one.tint)}`} dash${(one.tint ?? 0) % 4}`;
    if (one.dots) g.append(s('g', { class: 'dots' }, one.points.map(([x, y]) => s('circle', { cx: X(x), cy: Y(y), r: 2 }))));
    else g.append(s('path', { d: `M${one.points.map(([x, y]) => `${X(x).toFixed(1)} ${Y(y).toFixed(1)}`).join('L')}`, class: cls }));
    if (one.name) ends.push({ lines: named(one), tint: one.tint, ghost: one.ghost, x: X(one.points.at(-1)[0]), y: Y(one.points.at(-1)[1]) });
  }
  ends.sort((a, b) => a.y - b.y);
  const at = spread(ends.map((e) => e.y), line * Math.max(1, ...ends.map((e) => e.lines.length)), top, height - bottom);
  ends.forEach((e, i) => g.append(
    s('path', { d: `M${e.x} ${e.y}L${e.x + 8} ${at[i]}`, class: 'lead' }),
    s('text', { class: 'end-name' }, e.lines.map((text, k) => s('tspan', { x: e.x + 10, y: at[i] + 4 + line * (k - (e.lines.length - 1) / 2) }, text)))));
  return g;
}

// rangeChart draws an interval a row: {name, low, mean, high, mark}; mark is a
// bound to be shown, or undefined. Ticks are at least so far apart.
export function rangeChart(width, { label, rows, write = round, least }) {
  const narrow = width < 560, left = narrow ? 10 : 150, right = 24, row = narrow ? 58 : 44, top = 8, height = top + rows.length * row + 30;
  const values = rows.flatMap((r) => [r.low, r.high, r.mean, ...r.mark === undefined ? [] : [r.mark]]);
  const span = Math.max(...values) - Math.min(...values) || Math.max(...values) * 0.1 || 1;
  const low = Math.max(0, Math.min(...values) - span * 0.15), high = Math.max(...values) + span * 0.15;
  const X = (v) => left + (v - low) / (high - low) * (width - left - right);
  const g = s('svg', { viewBox: `0 0 ${width} ${height}`, width, height, role: 'img', 'aria-label': label, class: 'chart' });
  for (const v of steps(low, high, narrow ? 3 : 6, least)) g.append(s('path', { d: `M${X(v)} ${top}V${height - 26}`, class: 'line-grid' }), s('text', { x: Math.min(Math.max(X(v), 22), width - 22), y: height - 8, 'text-anchor': 'middle' }, write(v)));
  rows.forEach((r, i) => {
    const y = top + i * row + (narrow ? 42 : row / 2);
    g.append(narrow ? s('text', { x: left, y: y - 26, class: 'value' }, r.name) : s('text', { x: left - 8, y: y + 4, 'text-anchor': 'end' }, r.name),
      s('path', { d: `M${X(r.low)} ${y}H${X(r.high)}M${X(r.low)} ${y - 7}v14M${X(r.high)} ${y - 7}v14`, class: 'interval' }),
      s('circle', { cx: X(r.mean), cy: y, r: 6, class: 'mean' }),
      s('text', { x: Math.min(Math.max(X(r.mean), left + 20), width - right - 20), y: y - 11, 'text-anchor': 'middle', class: 'value' }, write(r.mean)));
    if (r.mark !== undefined) g.append(s('path', { d: `M${X(r.mark)} ${y - 12}v24`, class: 'bound' }));
  });
  return g;
}
