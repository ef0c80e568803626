// How items are told apart everywhere: each by its letter, tint and pattern, which
// follow from its place in the order. The table comes from the service, whose own
// pictures use it too.

import { h, s, byID } from './dom.js';
import { tints, patterns } from './marks-table.js';

// letter counts A to Z and goes on with A2. An item that the order has no more is -1.
export const letter = (i) => i < 0 ? '?' : String.fromCharCode(65 + i % 26) + (i >= 26 ? Math.floor(i / 26) + 1 : '');

// tint and pattern say which of them an item has.
export const tint = (i) => i < 0 ? 'less' : (i + Math.floor(i / patterns.length)) % tints;
const pattern = (i) => i % patterns.length;

// placeOf gives the place of an item in its order, or -1.
export const placeOf = (order, id) => (order.items ?? []).findIndex((it) => it.item_id === id);

// patternFill gives what is laid over an item's tint, to be used as a fill; null:
// nothing. The patterns stand once in a page, for all its drawings.
export function patternFill(i) {
  const p = patterns[pattern(i)];
  if (!p || !p.stroke && !p.fill) return null;
  if (!byID('mark-patterns')) document.body.append(definitions());
  return `url(#mark-${p.name})`;
}

export function definitions() {
  const one = (p) => s('pattern', { id: `mark-${p.name}`, width: p.wide, height: p.high, patternUnits: 'userSpaceOnUse' },
    p.stroke ? s('path', { d: p.stroke, class: 'mark-stroke' }) : null, p.fill ? s('path', { d: p.fill, class: 'mark-fill' }) : null);
  return s('svg', { id: 'mark-patterns', class: 'unseen', width: 0, height: 0, 'aria-hidden': 'true' }, s('defs', {}, patterns.map(one)));
}

// swatch shows an item's mark in a line of text: its ground with its letter on it.
export function swatch(i) {
  const over = patternFill(i), text = letter(i), wide = 24 + 9 * Math.max(text.length - 1, 0);
  return h('span', { class: 'mark' }, h('span', { class: 'unseen' }, text),
    s('svg', { width: wide, height: 24, 'aria-hidden': 'true' }, s('rect', { width: wide, height: 24, class: `tint${tint(i)}` }), over ? s('rect', { width: wide, height: 24, fill: over }) : null,
      s('text', { x: wide / 2, y: 17, 'text-anchor': 'middle', class: 'strip-label' }, text)));
}
