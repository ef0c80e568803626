// spread moves labels apart, top to bottom, and keeps them between two heights.
export function spread(places, apart, top, bottom) {
  const at = places.map((y) => Math.max(y, top));
  for (let i = 1; i < at.length; i++) at[i] = Math.max(at[i], at[i - 1] + apart);
  for (let i = at.length - 1; i >= 0; i--) at[i] = Math.min(at[i], i + 1 < at.length ? at[i + 1] - apart : bottom);
  return at;
}
