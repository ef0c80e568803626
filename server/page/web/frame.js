// Says where the points of a board lie in a drawing of a certain width. Along and
// across have scales of their own, since boards are long and strips narrow; across
// is so many times larger, in halves.

const beyond = 14, behind = 8; // mm shown beyond the wood and behind the fence
const reach = 45; // mm beyond the wood within which blades are shown in their place

export function makeFrame(width, mostHeight, board, saw, plan) {
  const length = board.length_mm ?? 0, st = board.stations ?? [];
  if (!(length > 0) || st.length === 0) return null;
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
  const left = narrow ? 46 : 54, right = narrow ? 74 : 124, top = 12, bottom = 44;
  const along = Math.max(width - left - right, 60) / length;
  const times = Math.max(1, Math.floor(2 * (mostHeight - top - bottom) / ((high - low) * along)) / 2);
  const across = along * times;
  const floor = top + (high - low) * across;
  return {
    width, height: floor + bottom, left, right, top, floor, narrow, length, low, high, times, along, across, off,
    x: (mm) => left + mm * along,
    y: (mm) => floor - (mm - low) * across,
    xOf: (px) => (px - left) / along,
    yOf: (px) => low + (floor - px) / across,
    end: left + length * along,
  };
}

// ticks gives round numbers from low to high that are at least so many pixels
// apart, steps given in mm.
export function ticks(low, high, scale, apart, steps) {
  const step = steps.find((st) => st * scale >= apart) ?? steps.at(-1);
  const all = [];
  for (let v = Math.ceil(low / step) * step; v <= high + 1e-9; v += step) all.push(v);
  return all;
}

// spread moves labels apart, top to bottom, and keeps them between two heights.
export function spread(places, apart, top, bottom) {
  const at = places.map((y) => Math.max(y, top));
  for (let i = 1; i < at.length; i++) at[i] = Math.max(at[i], at[i - 1] + apart);
  for (let i = at.length - 1; i >= 0; i--) at[i] = Math.min(at[i], i + 1 < at.length ? at[i + 1] - apart : bottom);
  return at;
}
