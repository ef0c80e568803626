// How many ways there are to crosscut a run to the lengths of an item. The service keeps
// each way that no other is as short and as valuable as, and takes no item that has too
// many. Quantities are whole nanometres and millionths of money.

import { nm, round, some, whole } from './exact.js';

export const mostWays = 20000;

// cutsOf gives an item's lengths ready to be counted.
export const cutsOf = (it) => (it.crosscut?.lengths ?? []).map((l) => ({ length: nm(l.length_mm), value: round((l.value ?? 0) * 1e6),
  open: l.required === undefined ? undefined : Math.max(l.required - (l.made ?? 0), 0) }));

// tooMany reports whether an item's lengths combine in too many ways on boards up to a
// length, in nm.
export function tooMany(it, cuts, length) {
  if (cuts.length === 0) return false;
  const most = some(it.max_length_mm), kerf = nm(it.crosscut.kerf_mm), trim = nm(it.crosscut.end_trim_mm);
  const key = JSON.stringify([cuts, kerf, trim, length, most]);
  if (!known.has(key)) {
    if (known.size > 300) known.clear();
    known.set(key, count(cuts, kerf, trim, Math.floor(length / 1000) * 1000));
  }
  return known.get(key);
}

const known = new Map(); // by all that counts: forms ask anew with every key

function divisor(a, b) {
  while (b !== 0) [a, b] = [b, a % b];
  return a;
}

function count(cuts, kerf, trim, length) {
  const room = length - 2 * trim + kerf, open = cuts.filter((c) => c.open !== 0);
  let ways = 1, step = 0;
  for (const c of open) {
    c.fit = Math.max(whole(room, c.length + kerf), 0);
    ways = Math.min(ways * (c.fit + 1), mostWays + 1);
    step = divisor(step, divisor(c.length, kerf));
  }
  if (ways <= mostWays || length / step < mostWays) return false; // all ways are so many multiples of a step
  const limited = open.some((c) => c.open < c.fit), short = 4 * trim < kerf;
  if (steps(open.map((c) => ({ ...c, most: Math.min(c.fit, c.open ?? Infinity) })), room, kerf)) return true;
  if (!short && !limited) return false;
  const spare = short ? 0 : kerf, wide = length - 2 * (short ? 0 : trim) + spare;
  return steps(open.map((c) => ({ ...c, most: Math.max(whole(wide, c.length + spare), 0) })), wide, spare);
}

// steps reports whether there are more ways than are kept. Copies of a length in powers
// of two make up any number of them.
function steps(cuts, room, kerf) {
  let all = [[0, 0]];
  for (const c of [...cuts].reverse()) {
    for (let many = 1, most = c.most; most > 0; many = Math.min(2 * many, most)) {
      most -= many;
      all = merge(all, many * (c.length + kerf), many * c.value, room);
      if (all.length > mostWays) return true;
    }
  }
  return false;
}

// merge joins ways with the same ways and so much more, by rising length, without those
// that are no more worth than a shorter one.
function merge(all, need, value, room) {
  const to = [];
  let best = -1, i = 0;
  const take = (w) => {
    if (w[1] <= best) return;
    best = w[1];
    to.push(w);
  };
  for (const [n, v] of all) {
    const b = [n + need, v + value];
    if (b[0] > room || to.length > mostWays) break;
    for (; i < all.length && (all[i][0] < b[0] || all[i][0] === b[0] && all[i][1] >= b[1]); i++) take(all[i]);
    take(b);
  }
  for (; i < all.length && to.length <= mostWays; i++) take(all[i]);
  return to;
}
