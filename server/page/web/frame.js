// Says where the points of a board lie in a drawing of a certain width. Along and
// across have scales of their own, since boards are long and strips narrow; across
// is so many times larger, in halves.

import { heightOf, roomFor } from './labels.js';

const mostLong = 1e5, mostStations = 5000, furthest = 1e4; // beyond these nothing is drawn: no saw takes such a board
const beyond = 14, behind = 8; // mm shown beyond the wood and behind the fence
const reach = 45; // mm beyond the wood within which blades are shown in their place

export function makeFrame(width, mostHeight, board, saw, plan) {
  const length = board.length_mm ?? 0, st = board.stations ?? [];
  if (!(length > 0) || length > mostLong || st.length === 0 || st.length > mostStations) return null;
  if (!st.every((p) => [p.x_mm ?? 0, p.near_mm ?? 0, p.far_mm ?? 0].every((v, i) => Math.abs(v) <= (i ? furthest : mostLong)))) return null;
  const skew = plan?.setting?.skew_mm_per_m ?? 0;
  const sheared = st.map((p) => skew * (p.x_mm ?? 0) / 1000);
  const lift = skew ? -Math.min(...st.map((p, i) => (p.near_mm ?? 0) + sheared[i])) : 0;
  const off = (x) => skew * x / 1000 + lift;
  let low = Math.min(0, ...st.map((p) => (p.near_mm ?? 0) + off(p.x_mm ?? 0)));
  let high = Math.max(...st.map((p) => (p.far_mm ?? 0) + off(p.x_mm ?? 0)));
  if (!(high > low) || high - low > 1e5) return null;
  const wood = high;
  for (const b of plan?.setting?.blades_mm ?? []) {
    const y = b - (plan.setting.fence_mm ?? 0) + (saw.kerf_mm ?? 0);
    if (y <= wood + reach) high = Math.max(high, y);
    if (y >= -behind) low = Math.min(low, y - (saw.kerf_mm ?? 0));
  }
  low -= behind;
  high += beyond;
  const narrow = width < 560;
  const left = narrow ? 46 : 54, right = roomFor(plan, narrow), top = 24, bottom = 44;
  const along = Math.max(width - left - right, 60) / length;
  const times = Math.max(1, Math.floor(2 * (mostHeight - top - bottom) / ((high - low) * along)) / 2);
  const across = along * times;
  const floor = top + (high - low) * across, labelFloor = Math.max(floor + 24, top + heightOf(plan, narrow));
  return {
    labelled: Boolean(plan?.setting), width, height: Math.max(floor + bottom, labelFloor + 26), labelFloor, left, right, top, floor, narrow, length, low, high, times, along, across, off,
    x: (mm) => left + mm * along,
    y: (mm) => floor - (mm - low) * across,
    xOf: (px) => (px - left) / along,
    yOf: (px) => low + (floor - px) / across,
    end: left + length * along,
  };
}

const mostTicks = 400;

// ticks gives round numbers from low to high that are at least so many pixels
// apart, steps given in mm; none where there would be too many to be read.
export function ticks(low, high, scale, apart, steps) {
  const step = steps.find((st) => st * scale >= apart) ?? steps.at(-1);
  if (!((high - low) / step <= mostTicks)) return [];
  const all = [];
  for (let v = Math.ceil(low / step) * step; v <= high + 1e-9; v += step) all.push(v);
  return all;
}
