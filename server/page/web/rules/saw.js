// What has to hold between the fields of a saw.

import { down, fromNm, list, nm, some, up, whole } from './exact.js';
import { mm } from './say.js';

const mostSkews = 500, nothing = { min_mm: 0, max_mm: 0 };

export function sawRules(s, faults) {
  const say = (field, says) => faults.beside(`saw.${field}`, says), blades = list(s.blades);
  const gap = nm(s.min_gap_mm), least = nm(s.min_strip_width_mm), step = nm(s.step_mm), before = faults.all.length;
  if (s.kerf_mm === undefined) faults.add('saw.kerf_mm', 'is missing; give the width of a blade\'s cut');
  if (!s.fence) faults.add('saw.fence', 'is missing; give the travel of the fence');
  if (least < 1) say('min_strip_width_mm', `is ${mm(s.min_strip_width_mm)}; must be above 0`);
  if (gap < least) say('min_gap_mm', `is ${mm(s.min_gap_mm)}; must be at least the least strip width, ${mm(s.min_strip_width_mm)}`);
  if (s.max_skew_mm_per_m && whole(nm(s.max_skew_mm_per_m), step) > mostSkews) say('max_skew_mm_per_m', `is ${s.max_skew_mm_per_m}, which is more than ${mostSkews} steps of ${mm(s.step_mm)}; give a lower limit or a coarser step`);
  for (const what of ['length', 'width', 'thickness']) {
    const lo = s.limits?.[`min_${what}_mm`], hi = s.limits?.[`max_${what}_mm`];
    if (some(hi) > 0 && some(hi) < nm(lo)) say(`limits.max_${what}_mm`, `is ${mm(hi)}, below the least ${what}, ${mm(lo)}`);
  }
  const seen = new Set();
  list(s.turns).forEach(({ turn }, i) => {
    if (!/_(END_FOR_END|EDGE_OVER_EDGE|END_OVER_END)$/.test(turn)) faults.add(`saw.turns[${i}].turn`, 'is not a turn');
    else if (seen.has(turn)) faults.add(`saw.turns[${i}].turn`, 'is named twice; name each turn at most once');
    seen.add(turn);
  });
  blades.forEach((b, i) => { if (b.fixed_mm === undefined && !b.moving) faults.add(`saw.blades[${i}]`, 'has no mount; give its position or travel'); });
  travelRules(s.fence, 'fence', s, say);
  blades.forEach((b, i) => { if (b.moving) travelRules(b.moving, `blades[${i}].moving`, s, say); });
  if (faults.all.length === before && blades.length) orderRule(s, say);
}

function travelRules(t, path, s, say) {
  const { min_mm: min, max_mm: max } = { ...nothing, ...t }, step = nm(s.step_mm);
  if (nm(max) < nm(min)) say(`${path}.max_mm`, `is ${mm(max)}, below its beginning at ${mm(min)}`);
  else if (up(nm(min), step) > down(nm(max), step)) say(`${path}.max_mm`, `is ${mm(max)}: no whole multiple of the step, ${mm(s.step_mm)}, lies between ${mm(min)} and it`);
}

// lowest sets every blade as near to the arbor's datum as those before it allow. It gives
// {blade, room}, the blade that has no room below it, in nm; null: all have.
export function lowest(blades, s) {
  const step = nm(s.step_mm);
  let before = 0;
  for (const [i, b] of blades.entries()) {
    let low = b.moving ? up(b.min, step) : b.at;
    const room = before + nm(s.kerf_mm) + nm(s.min_gap_mm);
    if (i > 0) {
      if (!b.moving && low < room || b.moving && up(Math.max(low, room), step) > b.max) return { blade: i, room };
      if (b.moving) low = up(Math.max(low, room), step);
    }
    before = low;
  }
  return null;
}

// mounts gives the blades of a saw in nm.
export const mounts = (s) => list(s.blades).map((b) => b.moving ? { moving: true, min: nm(b.moving.min_mm), max: nm(b.moving.max_mm) } : { at: nm(b.fixed_mm) });

function orderRule(s, say) {
  const none = lowest(mounts(s), s);
  if (!none) return;
  const b = s.blades[none.blade];
  say(`blades[${none.blade}].${b.moving ? 'moving.max_mm' : 'fixed_mm'}`, `is ${mm(b.moving ? b.moving.max_mm : b.fixed_mm)}; the blade before it and the smallest gap leave no room below ${mm(fromNm(none.room))}; blades go in their order along the arbor`);
}
