// Where fence and blades have to stand so that a strip lies at a place of the board.

const slack = 1e-6;

// candidates gives, the nearest first, instructions that put a strip of an item where a
// pocket of a plan begins, one for each pair of neighbouring blades that can: {near, off,
// instructions}, near being the blade at the strip's near side, -1 the fence, and off how far in mm from
// the place. A strip that would begin more than half its width away is not there.
export function candidates(plan, pocket, item, saw, straight) {
  const { kerf_mm: kerf = 0, step_mm: step = 0.1, blades = [] } = saw, y = pocket.near_mm;
  const wide = item.width_mm ?? Math.min(Math.max(pocket.width_mm, item.range.min_mm), item.range.max_mm);
  const all = straight && y <= wide / 2 ? beside(blades[0], plan, item, saw, wide, y) : [];
  for (let i = 0; i + 1 < blades.length; i++) {
    const one = pair(blades[i], blades[i + 1], kerf + wide, plan.setting.fence_mm + y - kerf, step);
    if (!one) continue;
    const [near, far] = one, fence = onStep(near + kerf - y, saw.fence, step);
    const off = Math.abs(near + kerf - fence - y);
    if (fence === null || off > wide / 2) continue;
    all.push({ near: i, off, instructions: { fence: { at_mm: fence }, blades: [{ blade: i, at_mm: near }, { blade: i + 1, at_mm: far }], forced: [{ item_id: item.item_id, strips: 1 }] } });
  }
  return all.sort((a, b) => a.off - b.off);
}

// beside puts the strip between the fence and the first blade, as a straight near edge allows.
function beside(blade, plan, item, saw, wide, y) {
  const fence = onStep(blade.moving ? plan.setting.fence_mm : blade.fixed_mm - wide, saw.fence, saw.step_mm), at = fence === null ? null : blade.moving ? up(fence + wide, saw.step_mm) : blade.fixed_mm;
  if (fence === null || (blade.moving ? !within(blade, at) : Math.abs(at - fence - wide) > slack)) return [];
  return [{ near: -1, off: y, instructions: { fence: { at_mm: fence }, blades: [{ blade: 0, at_mm: at }], forced: [{ item_id: item.item_id, strips: 1 }] } }];
}

const tidy = (v) => Math.round(v * 1e6) / 1e6;

// onStep gives the place in a travel, in whole steps, that is nearest to one wanted.
function onStep(wanted, travel, step) {
  const least = Math.ceil((travel?.min_mm ?? 0) / step - slack), most = Math.floor((travel?.max_mm ?? 0) / step + slack);
  return least > most ? null : tidy(Math.min(Math.max(Math.round(wanted / step), least), most) * step);
}

// pair gives where two blades stand so far apart, the first as near to wanted as it can;
// null: they cannot.
function pair(a, b, apart, wanted, step) {
  if (!a.moving && !b.moving) return Math.abs(b.fixed_mm - a.fixed_mm - apart) < slack ? [a.fixed_mm, b.fixed_mm] : null;
  if (!a.moving) return within(b, up(a.fixed_mm + apart, step)) ? [a.fixed_mm, up(a.fixed_mm + apart, step)] : null;
  if (!b.moving) return within(a, down(b.fixed_mm - apart, step)) ? [down(b.fixed_mm - apart, step), b.fixed_mm] : null;
  const travel = { min_mm: Math.max(a.moving.min_mm ?? 0, (b.moving.min_mm ?? 0) - apart), max_mm: Math.min(a.moving.max_mm ?? 0, (b.moving.max_mm ?? 0) - apart) };
  const near = onStep(wanted, travel, step), far = near === null ? null : up(near + apart, step);
  return near !== null && within(a, near) && within(b, far) ? [near, far] : null;
}

const up = (v, step) => tidy(Math.ceil(v / step - slack) * step);
const down = (v, step) => tidy(Math.floor(v / step + slack) * step);
const within = (blade, v) => v >= (blade.moving.min_mm ?? 0) - slack && v <= (blade.moving.max_mm ?? 0) + slack;
