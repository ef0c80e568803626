// What has to hold between the fields of a cut order, and beside the saw.

import { list, nm, round, some } from './exact.js';
import { cutsOf, mostWays, tooMany } from './lengths.js';
import { mm } from './say.js';

const unitOf = (amount) => ['length_m', 'area_m2', 'pieces'].find((u) => amount?.[u] !== undefined);
const unitWords = { length_m: 'a length', area_m2: 'an area', pieces: 'pieces' };

export function orderRules(order, saw, faults, path = 'order') {
  if (!order) return void faults.add(path, 'is missing; a cut order is needed');
  const names = new Map();
  list(order.items).forEach((it, i) => {
    const at = `${path}.items[${i}]`;
    if (it.item_id && names.has(it.item_id)) faults.beside(`${at}.item_id`, `is "${it.item_id}", which item ${names.get(it.item_id) + 1} has too; every item needs a name of its own`);
    else names.set(it.item_id, i);
    itemRules(it, at, faults);
    besideSaw(it, at, saw ?? {}, faults);
  });
}

function itemRules(it, at, faults) {
  const say = (field, says) => faults.beside(`${at}.${field}`, says);
  if (it.width_mm === undefined && !it.range) faults.add(`${at}.width_mm`, 'is missing; give the width of the strip');
  if (it.width_mm !== undefined && nm(it.width_mm) <= 0) say('width_mm', `is ${mm(it.width_mm)}; must be above 0`);
  if (it.range) {
    for (const end of ['min_mm', 'max_mm']) if (nm(it.range[end]) <= 0) say(`range.${end}`, `is ${mm(it.range[end])}; must be above 0`);
    if (nm(it.range.max_mm) < nm(it.range.min_mm)) say('range.max_mm', `is ${mm(it.range.max_mm)}, below the least width, ${mm(it.range.min_mm)}`);
    if (nm(it.tolerance_mm) !== 0) say('tolerance_mm', `is ${mm(it.tolerance_mm)}; must be 0 for a range`);
  }
  if (some(it.max_length_mm) > 0 && some(it.max_length_mm) < nm(it.min_length_mm)) say('max_length_mm', `is ${mm(it.max_length_mm)}, below the least length that counts, ${mm(it.min_length_mm)}`);
  amountRules(it, at, faults);
  if (it.crosscut) lengthRules(it, say);
  if (it.panel && (nm(it.panel.width_mm) !== 0 || nm(it.panel.joint_allowance_mm) !== 0)) {
    if (!it.range) say('panel', 'is given for one width; panels are glued up from a range');
    else if (nm(it.panel.width_mm) <= 0) say('panel.width_mm', `is ${mm(it.panel.width_mm)}; must be above 0`);
    else if (nm(it.panel.joint_allowance_mm) >= nm(it.range.min_mm)) say('panel.joint_allowance_mm', `is ${mm(it.panel.joint_allowance_mm)}; must be below the least width, ${mm(it.range.min_mm)}`);
  }
}

// amountRules is about what is wanted and made, in the unit that the width goes with.
function amountRules(it, at, faults) {
  const random = Boolean(it.range) || it.width_mm === undefined && [it.required, it.made].some((a) => unitOf(a) === 'area_m2');
  const read = (part) => {
    const unit = unitOf(it[part]), path = `${at}.${part}`;
    if (!unit) faults.add(path, `is empty; say how much is ${part === 'made' ? 'made' : 'wanted'}, or choose no limit`);
    else if (unit === (random ? 'length_m' : 'area_m2')) faults.add(`${path}.${unit}`, random ? 'is given for a range of widths; it is counted as an area or in pieces' : 'is given for one width; it is counted as a length or in pieces');
    else return unit;
    return '';
  };
  let count = random ? 'area_m2' : 'length_m'; // '': in doubt
  if (it.required) count = read('required');
  if (it.made) {
    const made = read('made');
    if (!it.required) count = made;
    else if (made && count && made !== count) faults.add(`${at}.made`, `is ${unitWords[made]}; must be ${unitWords[count]}, as what is wanted is`);
  }
  if (it.piece_length_mm !== undefined && count && count !== 'pieces') faults.add(`${at}.piece_length_mm`, 'must be empty unless pieces are wanted');
}

function lengthRules(it, say) {
  const all = list(it.crosscut.lengths);
  if (all.length === 0) return say('crosscut.lengths', 'is empty; give at least one length, or take crosscutting away');
  if (round((it.value ?? 0) * 1e6) !== 0) say('value', 'is given along with crosscut lengths; their own values count then, so leave it empty');
  if (unitOf(it.required) === 'pieces') say('required', 'counts pieces, which crosscut lengths do by themselves; say how many of each length are wanted');
  all.forEach((l, i) => {
    const j = all.findIndex((o) => nm(o?.length_mm) === nm(l?.length_mm));
    if (j < i) say(`crosscut.lengths[${i}].length_mm`, `is ${mm(l?.length_mm)}, as length ${j + 1} is`);
  });
}

function besideSaw(it, at, saw, faults) {
  const most = some(saw.limits?.max_length_mm), narrow = nm(saw.min_strip_width_mm);
  const tooLong = (field, length) => {
    if (most > 0 && nm(length) > most) faults.beside(`${at}.${field}`, `is ${mm(length)}; the saw takes boards of at most ${mm(saw.limits.max_length_mm)}, so none is that long`);
  };
  tooLong('piece_length_mm', it.piece_length_mm);
  list(it.crosscut?.lengths).forEach((l, k) => tooLong(`crosscut.lengths[${k}].length_mm`, l?.length_mm));
  const [field, wide] = it.range ? ['range.min_mm', it.range.min_mm] : ['width_mm', it.width_mm];
  if (nm(wide) > 0 && nm(wide) < narrow) faults.beside(`${at}.${field}`, `is ${mm(wide)}, narrower than the saw's least strip width, ${mm(saw.min_strip_width_mm)}; saws throw back narrow pieces`);
}

const openOf = (it) => {
  const unit = unitOf(it.required), scale = { length_m: 1e6, area_m2: 1e12, pieces: 1 }[unit];
  return unit && Math.max(round(it.required[unit] * scale) - round((it.made?.[unit] ?? 0) * scale), 0);
};

// wayRules is about crosscut lengths of one board, whose length is in nm, by the values
// of the order.
export function wayRules(order, length, faults) {
  list(order.items).forEach((it, i) => {
    const most = some(it.max_length_mm);
    if (openOf(it) === 0 || most > 0 && most < length) return;
    if (tooMany(it, cutsOf(it), length)) say(faults, i);
  });
}

const say = (faults, i) => faults.add(`order.items[${i}].crosscut.lengths`, `combine in more than ${mostWays} ways on this board; give fewer, or multiples of one step`);

// wayRulesUpTo is the same for boards up to a length, and for values that are planned,
// near what pieces are long.
export function wayRulesUpTo(order, longest, planned, faults) {
  list(order.items).forEach((it, i) => {
    const most = some(it.max_length_mm), length = most > 0 ? Math.min(longest, most) : longest, cuts = cutsOf(it);
    if (!planned && openOf(it) === 0) return;
    const priced = planned ? cuts.map((c) => ({ ...c, value: c.open > 0 ? Math.trunc(c.length / 1000) : 0, open: undefined })) : cuts;
    if (tooMany(it, priced, length)) say(faults, i);
  });
}

// rowsOf lists the amounts that an order still wants: {item, cut, it}, cut being below 0
// for the item itself.
export function rowsOf(order) {
  return list(order.items).flatMap((it, item) => [
    ...cutsOf(it).map((c, cut) => ({ item, cut, it, open: c.open })), { item, cut: -1, it, open: openOf(it) }].filter((r) => r.open > 0));
}

const mostRows = 500, mostDues = 8, leastCut = 20e6; // nm

// planRules is about what of an order cannot be planned.
export function planRules(order, faults) {
  const rows = rowsOf(order), before = faults.all.length;
  for (const { item, cut, it } of rows.filter((r) => r.cut < 0)) {
    const at = `order.items[${item}]`, piece = some(it.piece_length_mm);
    if (list(it.crosscut?.lengths).length) faults.beside(`${at}.required`, 'is given along with crosscut lengths; values are planned by how many of each length are wanted');
    else if (unitOf(it.required) === 'pieces' && piece > 0 && piece < leastCut) faults.beside(`${at}.piece_length_mm`, `is ${mm(it.piece_length_mm)}; must be at least ${mm(leastCut / 1e6)} for values to be planned`);
  }
  if (rows.length > mostRows) faults.beside('order.items', `want ${rows.length} amounts; at most ${mostRows} are planned together`);
  const dues = new Set(rows.map((r) => r.it.due_boards ?? 0).filter((d) => d > 0));
  if (dues.size > mostDues) faults.beside('order.items', `have ${dues.size} different dues; at most ${mostDues} are planned together`);
  if (rows.length === 0 && faults.all.length === before) faults.beside('order.items', 'want nothing; values are planned for items of which something is still wanted');
}
