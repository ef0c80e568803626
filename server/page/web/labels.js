// How fence and blades are named beside a drawing: "blade 4: 428.2 mm", the position
// being that on the arbor.

import { spread } from './spread.js';
import { width } from './units.js';

// inTwo says whether names stand above their positions, as on a phone.
const inTwo = (narrow, blades) => narrow && blades <= 7;

// apartOf says how far apart labels stand at least, heightOf the height of all of them.
const apartOf = (narrow, blades) => inTwo(narrow, blades) ? 29 : narrow ? 17 : 20;
export const heightOf = (plan, narrow) => plan?.setting ? stands(plan).length * apartOf(narrow, stands(plan).length - 1) : 0;

// standName names the fence, -1, or a blade by its index.
export const standName = (i) => i < 0 ? 'fence' : `blade ${i + 1}`;

// stands lists the fence and the blades with their positions on the arbor in mm.
export const stands = (plan) => [{ index: -1, at: plan?.setting?.fence_mm ?? 0 }, ...(plan?.setting?.blades_mm ?? []).map((at, index) => ({ index, at }))];

// roomFor says how many pixels the labels of a plan need at the right.
export function roomFor(plan, narrow) {
  if (!plan?.setting) return narrow ? 30 : 60;
  const two = inTwo(narrow, plan.setting.blades_mm?.length ?? 0);
  const long = Math.max(...stands(plan).map((b) => two ? Math.max(standName(b.index).length + 1, width(b.at).length) : standName(b.index).length + 2 + width(b.at).length + (narrow ? 0 : 6)));
  return 30 + 7.3 * Math.max(long, narrow ? 11 : 18);
}

// standLabels gives the lines of each label and its height, from the top down:
// {index, y, at, off, lines}, off being 1 for what stands above the drawing and -1 below.
export function standLabels(f, plan, saw) {
  const kerf = saw.kerf_mm ?? 0, fence = plan.setting?.fence_mm ?? 0, two = inTwo(f.narrow, plan.setting?.blades_mm?.length ?? 0);
  const all = stands(plan).map(({ index, at }) => {
    const y = index < 0 ? 0 : at - fence + kerf / 2, name = standName(index), wide = width(at);
    const mount = index < 0 || f.narrow || saw.blades?.[index]?.moving ? '' : ' fixed';
    return { index, y, off: y > f.high ? 1 : y < f.low ? -1 : 0, place: Math.min(Math.max(f.y(y), f.top + 4), f.floor), lines: two ? [`${name}:`, wide] : [`${name}: ${wide}${mount}`] };
  }).sort((a, b) => b.y - a.y);
  const at = spread(all.map((b) => b.place), apartOf(f.narrow, all.length - 1), f.top + 6, f.labelFloor);
  return all.map((b, i) => ({ ...b, at: at[i] }));
}
