// What has to hold between the fields of lumber that may be bought.

import { list, nm, round } from './exact.js';
import { boardRules, span } from './board.js';
import { mm } from './say.js';

const mostDrawn = 20;

export function lumberRules(lumber, faults) {
  if (!lumber) return void faults.add('lumber', 'is missing; give the lumber');
  const names = new Map();
  list(lumber.lots).forEach((lot, i) => {
    const at = `lumber.lots[${i}]`, id = lot.lot_id ?? '';
    if (names.has(id)) faults.beside(`${at}.lot_id`, `is "${id}", which lot ${names.get(id) + 1} has too; every lot needs a name of its own`);
    else names.set(id, i);
    if (!lot.listed && !lot.tagged && !lot.spread) faults.add(at, 'has no boards; give them');
    list(lot.listed?.boards).forEach((b, k) => boardRules(b?.board, `${at}.listed.boards[${k}].board`, faults));
    const rows = (list_, path) => list_.forEach((r, k) => {
      for (const name of ['width_mm', 'length_mm']) if (r?.[name] !== undefined && nm(r[name]) <= 0) faults.beside(`${at}.${path}[${k}].${name}`, `is ${mm(r[name])}; must be above 0`);
    });
    rows(list(lot.tagged?.rows), 'tagged.rows');
    rows(list(lot.spread?.lengths), 'spread.lengths');
    if (lot.spread) spreadRules(lot.spread, `${at}.spread`, faults);
  });
}

function spreadRules(s, at, faults) {
  const say = (field, says) => faults.beside(`${at}.${field}`, says), least = nm(s.min_width_mm), most = nm(s.max_width_mm), mean = nm(s.mean_width_mm), before = faults.all.length;
  if (most < least) say('max_width_mm', `is ${mm(s.max_width_mm)}, below the least width, ${mm(s.min_width_mm)}`);
  else if (mean < least || mean > most) say('mean_width_mm', `is ${mm(s.mean_width_mm)}; must lie between the least and the greatest width, ${mm(s.min_width_mm)} to ${mm(s.max_width_mm)}`);
  if (nm(s.taper_mm) > least) say('taper_mm', `is ${mm(s.taper_mm)}; must be at most the least width, ${mm(s.min_width_mm)}`);
  if (s.near_edge_straight && nm(s.crook_mm) !== 0) say('crook_mm', `is ${mm(s.crook_mm)}; must be 0 where the near edge is straight`);
  list(s.defects).forEach((d, i) => {
    for (const what of ['length', 'width']) {
      const lo = d[`min_${what}_mm`], hi = d[`max_${what}_mm`];
      if (nm(lo) <= 0) say(`defects[${i}].min_${what}_mm`, `is ${mm(lo)}; must be above 0`);
      else if (nm(hi) < nm(lo)) say(`defects[${i}].max_${what}_mm`, `is ${mm(hi)}, below the least ${what}, ${mm(lo)}`);
    }
  });
  if (faults.all.length > before) return;
  const longest = Math.max(0, ...list(s.lengths).map((l) => nm(l.length_mm))), rate = list(s.defects).reduce((sum, d) => sum + (d.per_m2 ?? 0), 0);
  const drawn = rate * (mean / 1e6 / 1000 * (longest / 1e6) / 1000);
  if (drawn > mostDrawn) say('defects', `come to ${drawn.toFixed(1)} on a board of the mean width and the greatest length; must be at most ${mostDrawn}`);
}

// priceRules is about what the least cost needs to know of every lot.
export function priceRules(lumber, faults) {
  list(lumber?.lots).forEach((lot, i) => {
    const at = `lumber.lots[${i}]`, thick = (t, path) => { if (!t?.thickness_mm) faults.beside(`${at}.${path}.thickness_mm`, 'is missing; the least cost needs a thickness for every board'); };
    if (round((lot.price_per_mbf ?? 0) * 1000) === 0) faults.beside(`${at}.price_per_mbf`, 'is missing or 0; the least cost needs a price for every lot');
    list(lot.listed?.boards).forEach((b, k) => thick(b?.board, `listed.boards[${k}].board`));
    if (lot.tagged) thick(lot.tagged, 'tagged');
    if (lot.spread) thick(lot.spread, 'spread');
  });
}

// longest gives the greatest length of the boards, widest the greatest width that a board
// of the first lot can have, in nm.
export const longest = (lumber) => Math.max(0, ...list(lumber.lots).flatMap((lot) => [
  ...list(lot.listed?.boards).map((b) => nm(b.board.length_mm)), ...list(lot.tagged?.rows).map((r) => nm(r.length_mm)), ...list(lot.spread?.lengths).map((l) => nm(l.length_mm))]));

export function widest({ lots: [lot] }) {
  if (lot.spread) return nm(lot.spread.max_width_mm) + nm(lot.spread.taper_mm) + nm(lot.spread.crook_mm);
  return Math.max(...list(lot.tagged?.rows).map((r) => nm(r.width_mm)), ...list(lot.listed?.boards).map((b) => span(b.board)).map(([lo, hi]) => hi - lo));
}
