// The fields of a board.

import { h, byID, button } from './dom.js';
import { Form, rebuild } from './form.js';
import { cutTo } from './cutting.js';
import { job, changed, edges } from './job.js';

const form = new Form(job, changed);

export function boardFields() {
  const b = job.board;
  b.stations ??= [];
  b.defects ??= [];
  return [
    h('div', { class: 'fields' },
      form.field('board.board_id', 'Name', 'text'), form.field('board.pack_id', 'Pack', 'text'),
      form.field('board.length_mm', 'Length', 'long', { then: shorten }), form.field('board.thickness_mm', 'Thickness', 'length'),
      form.check('board.near_edge_straight', 'Near edge is straight')),
    h('div', {}, button('Level both edges', () => level(), { class: 'small' }),
      button('Straight near edge at the fence', () => { for (const st of job.board.stations) st.near_mm = 0; changed(); }, { class: 'small' })),
    h('div', { id: 'board-rows' }, boardRows()),
  ];
}

// shorten takes a board whose length was another before.
function shorten(before) {
  cutTo(job.board, before);
  rebuild(byID('board-rows'), boardRows);
}

// boardRows are the stations and defects, whose number may change while another field
// is typed into.
function boardRows() {
  const { stations, defects } = job.board;
  return [
    rows('stations', `Stations (${stations.length})`, ['x', 'near edge', 'far edge'], stations, (i) => [
      form.field(`board.stations[${i}].x_mm`, `Station ${i + 1}, x`, 'long', { bare: true }),
      form.field(`board.stations[${i}].near_mm`, `Station ${i + 1}, near edge`, 'length', { bare: true }),
      form.field(`board.stations[${i}].far_mm`, `Station ${i + 1}, far edge`, 'length', { bare: true })],
    (i) => stations.splice(i, 1), () => addStation()),
    rows('defects', `Defects (${defects.length})`, ['from x', 'to x', 'from y', 'to y', 'kind'], defects, (i) => [
      ...['from_x_mm', 'to_x_mm', 'from_y_mm', 'to_y_mm'].map((name) =>
        form.field(`board.defects[${i}].${name}`, `Defect ${i + 1}, ${name.slice(0, -3).replace('_', ' ')}`, name.includes('x') ? 'long' : 'length', { bare: true })),
      form.field(`board.defects[${i}].kind`, `Defect ${i + 1}, kind`, 'text', { bare: true })],
    (i) => defects.splice(i, 1), () => addDefect()),
  ];
}

// mostRows bounds the rows that have fields; a scanner may send thousands.
const mostRows = 100;

function rows(key, title, heads, list, row, remove, add) {
  const one = key.slice(0, -1);
  return h('details', { 'data-key': key }, h('summary', {}, title),
    h('div', { class: `grid of${heads.length}` }, heads.map((t) => h('span', { class: 'head', 'aria-hidden': 'true' }, t)), h('span', {}),
      list.slice(0, mostRows).map((_, i) => [row(i),
        button('×', () => { remove(i); changed(true); }, { class: 'small', 'aria-label': `Remove ${one} ${i + 1}` })])),
    list.length > mostRows ? h('p', {}, `Only the first ${mostRows} of ${list.length} are shown; "Request" has all.`) : null,
    button(`Add a ${one}`, () => { add(); changed(true); }, { class: 'small' }));
}

// level makes the board a rectangle as wide as it is on average.
function level() {
  const st = job.board.stations;
  if (st.length === 0) return;
  const mean = (of) => Math.round(st.reduce((sum, s) => sum + (of(s) ?? 0), 0) / st.length * 10) / 10;
  const wide = mean((s) => s.far_mm) - mean((s) => s.near_mm);
  for (const s of st) { s.near_mm = 0; s.far_mm = Math.round(wide * 10) / 10; }
  changed();
}

// addStation puts one into the middle of the longest stretch without.
function addStation() {
  const st = job.board.stations, length = job.board.length_mm ?? 0;
  const xs = [0, ...st.map((s) => s.x_mm ?? 0), length];
  let best = 0;
  for (let i = 1; i + 1 < xs.length; i++) if (xs[i + 1] - xs[i] > xs[best + 1] - xs[best]) best = i;
  const x = st.length === 0 ? 0 : Math.round((xs[best] + xs[best + 1]) / 2);
  const e = edges(x) ?? { near: 0, far: 200 };
  st.push({ x_mm: x, near_mm: Math.round(e.near * 10) / 10, far_mm: Math.round(e.far * 10) / 10 });
  st.sort((a, b) => (a.x_mm ?? 0) - (b.x_mm ?? 0));
}

// addDefect puts one in the middle of the board, or where it was pointed at, and
// gives its index.
export function addDefect(x = (job.board.length_mm ?? 0) / 2, y = undefined) {
  const e = edges(x) ?? { near: 0, far: 200 };
  const length = job.board.length_mm ?? 0, long = Math.min(60, length / 4), wide = Math.min(16, (e.far - e.near) / 4 || 16);
  const from = Math.round(Math.min(Math.max(x - long / 2, 0), length - long)), at = y ?? (e.near + e.far) / 2;
  const low = Math.round((at - wide / 2) * 10) / 10;
  job.board.defects ??= [];
  job.board.defects.push({ from_x_mm: from, to_x_mm: from + Math.round(long), from_y_mm: low, to_y_mm: Math.round((low + wide) * 10) / 10, kind: 'knot' });
  return job.board.defects.length - 1;
}
