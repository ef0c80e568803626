// How faults name fields by the labels that people see.

import { letter } from './marks.js';

const parts = [[/^order\.items\[(\d+)\]/, (n) => `Item ${letter(n)}`], [/^saw\.blades\[(\d+)\]/, (n) => `Blade ${n + 1}`], [/^current_setting\.blades_mm\[(\d+)\]/, (n) => `Blade ${n + 1}`],
  [/^lumber\.lots\[(\d+)\]/, (n) => `Lot ${n + 1}`], [/^stock\[(\d+)\]/, (n) => `Lot ${n + 1}`]];

const lower = (text) => /^[A-Z][a-z]/.test(text) ? text[0].toLowerCase() + text.slice(1) : text;

// ofField names a field by its path and label.
export function ofField(path, label) {
  const [, n, name] = parts.map(([of, write]) => [...of.exec(path) ?? [], write]).find((m) => m.length > 2)?.slice(0, 3) ?? [];
  return n === undefined ? label : `${name(Number(n))}, ${lower(label)}`;
}
