// How faults name fields: by the labels that people see, or where no field is in view by
// the words of the path.

import { letter } from './marks.js';

const parts = [[/^order\.items\[(\d+)\]/, (n) => `Item ${letter(n)}`], [/^saw\.blades\[(\d+)\]/, (n) => `Blade ${n + 1}`], [/^current_setting\.blades_mm\[(\d+)\]/, (n) => `Blade ${n + 1}`],
  [/^lumber\.lots\[(\d+)\]/, (n) => `Lot ${n + 1}`], [/^stock\[(\d+)\]/, (n) => `Lot ${n + 1}`]];

const lower = (text) => /^[A-Z][a-z]/.test(text) ? text[0].toLowerCase() + text.slice(1) : text;

// ofField names a field by its path and label.
export function ofField(path, label) {
  const [, n, name] = parts.map(([of, write]) => [...of.exec(path) ?? [], write]).find((m) => m.length > 2)?.slice(0, 3) ?? [];
  return n === undefined ? label : `${name(Number(n))}, ${lower(label)}`;
}

// readable writes a path in words: board.stations[3].near_mm is board, station 4, near.
export const readable = (path) => path.split('.').filter((s) => s).map((step) => {
  const [, name, n] = /^(\w*)(?:\[(\d+)\])?$/.exec(step) ?? [null, step];
  const word = name.replace(/_(mm|m|m2|mm_per_m|in|ft)$/, '').replaceAll('_', ' ');
  return n === undefined ? word : `${word.replace(/s$/, '')} ${Number(n) + 1}`.trim();
}).join(', ');
