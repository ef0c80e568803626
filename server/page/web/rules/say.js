// How rules write what is wrong: numbers in the unit system that people see, and no rule
// about what another fault has left in doubt.

import { kinds, units } from '../units.js';

export const shown = (v) => Math.abs(v) >= 1e10 ? v.toExponential().replace('e+', 'e') : String(v);

const suffixes = [[/_mm$/, 'length'], [/_m2$/, 'area'], [/_m$/, 'metres'], [/_m_per_min$/, 'feed'], [/_mm_per_s$/, 'speed']];

// writer gives how the numbers of a field are written.
export function writer(name) {
  const kind = units() === 'in' ? suffixes.find(([ending]) => ending.test(name))?.[1] : undefined;
  return kind ? (v) => Number.isFinite(v) && Math.abs(v) < 1e10 ? `${kinds[kind].write(v)} ${kinds[kind].unit()}` : shown(v) : shown;
}

// mm writes a length.
export const mm = (v) => writer('_mm')(v ?? 0);

// Faults are {path, says}.
export class Faults {
  all = [];

  add(path, says) { this.all.push({ path, says }); }

  // misfit adds a field of which nothing more can be said, being none or of another type.
  misfit(path, says) { this.all.push({ path, says, misfit: true }); }

  // beside adds how a field stands beside others, unless one of those may be wrong itself.
  beside(path, says) { if (!this.unsure(path)) this.add(path, says); }

  // unsure reports whether what is found at a path may come from a fault that is known: of
  // it, a part of it, the whole that it belongs to, or a field beside it. A saw is one
  // set-up, in which everything stands beside everything.
  unsure(path) {
    return this.all.some((f) => inside(f.path, path) || inside(path, f.path) || around(f.path) === around(path) || inside('saw', f.path) && inside('saw', path));
  }

  any(part) { return this.all.some((f) => inside(part, f.path)); }
}

const inside = (whole, part) => part.startsWith(whole) && (part.length === whole.length || '.['.includes(part[whole.length]));
const around = (path) => path.slice(0, Math.max(path.lastIndexOf('.'), 0));
