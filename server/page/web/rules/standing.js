// Where fence and blades stand now, are to be checked, or are held for one board.

import { down, list, nm, up, whole } from './exact.js';
import { lowest, mounts } from './saw.js';
import { mm } from './say.js';

// standingRules says of where a saw stands now that it cannot stand there. What is wrong
// with the saw leaves nothing to say about how things stand on it.
export function standingRules(now, saw, faults) {
  if (!now || faults.any('saw')) return;
  const within = (v, t, path) => {
    if (v !== undefined && (nm(v) < nm(t?.min_mm) || nm(v) > nm(t?.max_mm))) faults.beside(path, `is ${mm(v)}; must lie within the travel, ${mm(t?.min_mm)} to ${mm(t?.max_mm)}`);
  };
  within(now.fence_mm, saw.fence, 'current_setting.fence_mm');
  const stand = list(now.blades_mm), blades = list(saw.blades);
  if (stand.length === 0) return;
  if (stand.length !== blades.length) return faults.beside('current_setting.blades_mm', `has ${stand.length} entries; the saw has ${blades.length} blades`);
  blades.forEach((b, i) => {
    const path = `current_setting.blades_mm[${i}]`;
    if (b.moving) within(stand[i], b.moving, path);
    else if (Math.abs(nm(stand[i]) - nm(b.fixed_mm)) > whole(nm(saw.step_mm), 2)) faults.beside(path, `is ${mm(stand[i])}; this blade is fixed at ${mm(b.fixed_mm)}`);
  });
}

// settingRules is about a setting that is to be checked or drawn.
export function settingRules(setting, saw, faults) {
  if (!setting) return faults.add('setting', 'is missing; give the positions of fence and blades');
  if (setting.fence_mm === undefined) faults.add('setting.fence_mm', 'is missing; give the position of the fence');
  const n = list(setting.blades_mm).length, has = list(saw.blades).length;
  if (n !== has && has > 0) faults.add('setting.blades_mm', `has ${n} entries; the saw has ${has} blades`);
}

// instructionRules is about strips that have to be cut, items that must not be, and what
// is held in its place.
export function instructionRules({ instructions: n, board, saw, order }, faults) {
  if (!n) return;
  const blades = list(saw?.blades), named = new Map(), sound = !faults.any('saw');
  const find = (id, path) => {
    if (!id) return;
    if (!list(order?.items).some((it) => it.item_id === id)) {
      if (!faults.any('order')) faults.add(path, `is "${id}", which the order does not have`);
    } else if (named.has(id)) faults.add(path, `is "${id}", which ${named.get(id)} already names`);
    else named.set(id, path);
  };
  const most = blades.length - (board?.near_edge_straight ? 0 : 1);
  list(n.forced).forEach((f, k) => {
    find(f.item_id, `instructions.forced[${k}].item_id`);
    if (sound && (f.strips ?? 1) > most) faults.beside(`instructions.forced[${k}].strips`, `is ${f.strips ?? 1}; the saw has ${blades.length} blades, so a board gives ${most} strips at most`);
  });
  list(n.forbidden).forEach((id, k) => find(id, `instructions.forbidden[${k}]`));
  const seen = new Set();
  list(n.blades).forEach(({ blade = 0 }, k) => {
    if (sound && blade >= blades.length) faults.beside(`instructions.blades[${k}].blade`, `is ${blade}; the saw has ${blades.length} blades, counted from 0`);
    else if (seen.has(blade)) faults.add(`instructions.blades[${k}].blade`, `is ${blade}, which is locked already`);
    seen.add(blade);
  });
}

// lockRules sets what is held in its place, one after the other, on a saw that has no
// fault.
export function lockRules({ instructions: n, saw, current_setting: now }, faults) {
  const step = nm(saw.step_mm), blades = mounts(saw), fence = { moving: true, min: nm(saw.fence?.min_mm), max: nm(saw.fence?.max_mm) };
  const stand = list(now?.blades_mm).length ? now.blades_mm.map(nm) : blades.map((b) => b.min);
  const locks = [...n.fence ? [{ t: fence, at: n.fence.at_mm, stood: now?.fence_mm === undefined ? fence.min : nm(now.fence_mm), path: 'instructions.fence' }] : [],
    ...list(n.blades).map(({ blade = 0, at_mm }, k) => ({ t: blades[blade], at: at_mm, stood: stand[blade], path: `instructions.blades[${k}]` }))];
  for (const { t, at, stood, path } of locks) {
    const given = at !== undefined, says = (text) => faults.add(`${path}.at_mm`, `is ${mm(at)}; ${text}`);
    if (!t.moving) {
      if (given && nm(at) !== t.at) says(`this blade is fixed at ${mm(t.at / 1e6)}`);
      continue;
    }
    if (given && (nm(at) < t.min || nm(at) > t.max)) { says(`must lie within the travel, ${mm(t.min / 1e6)} to ${mm(t.max / 1e6)}`); continue; }
    if (given && nm(at) % step !== 0) { says(`stops are whole multiples of ${mm(saw.step_mm)}`); continue; }
    t.min = t.max = given ? nm(at) : Math.min(Math.max(down(stood + whole(step, 2), step), up(t.min, step)), down(t.max, step));
    if (lowest(blades, saw)) return faults.add(path, `holds it at ${mm(t.min / 1e6)}, where the blades cannot all stand in their order with the least gap between neighbours`);
  }
}
