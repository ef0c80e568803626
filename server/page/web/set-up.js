// What the operator sets before a board is fed: fence, blades, how the board is turned,
// and the strips that then come out, large enough to be read from the saw.

import { h, table } from './dom.js';
import { placeOf, swatch } from './marks.js';
import { turnOf } from './turns.js';
import { decimalInches, lineal, long, width } from './units.js';

// setUp lists what moves, from the fence on, and in one line the blades that are fixed.
export function setUp(plan, saw) {
  const { fence_mm = 0, blades_mm = [], skew_mm_per_m: skew } = plan.setting, turn = turnOf(plan);
  const one = (name, what, more, cls, stand) => h('div', { class: cls }, h('dt', {}, name), h('dd', { 'data-stand': stand }, what, more ? h('small', {}, ` ${more}`) : null));
  const blades = blades_mm.map((at, i) => ({ at, i, moves: Boolean(saw.blades?.[i]?.moving) })), fixed = blades.filter((b) => !b.moves);
  return [
    turn ? one('turn the board', turn, '', 'turn') : null,
    skew ? one('set the board at', `${skew} mm per m`, '', 'turn') : null,
    one('fence', width(fence_mm), decimalInches(fence_mm), 'moves', 'fence'),
    ...blades.filter((b) => b.moves).map(({ at, i }) => one(`blade ${i + 1}`, width(at), decimalInches(at), 'moves', i)),
    fixed.length ? h('div', { class: 'fixed' }, h('dt', {}, 'fixed'), fixed.map(({ at, i }) => h('dd', { 'data-stand': i }, h('span', {}, `blade ${i + 1}:`), ` ${width(at)}`))) : null,
  ].filter((e) => e);
}

// strips lists a plan's strips from the fence outwards.
export function strips(plan, order, length) {
  const list = (plan.pockets ?? []).filter((k) => k.item_id);
  return table('Strips, from the fence outwards', ['stack', 'strip', 'ordered width', 'length'], list.map((k) => {
    const i = placeOf(order, k.item_id), it = order.items[i], ordered = it?.width_mm ?? k.width_mm;
    const sawn = Math.abs(k.width_mm - ordered) > 5e-4 ? h('small', {}, ` sawn ${width(k.width_mm)}`) : null;
    const parts = k.stretches ?? [], whole = parts.length === 1 && (parts[0].from_mm ?? 0) < 1e-6 && Math.abs(parts[0].to_mm - length) < 1e-6;
    return [h('strong', {}, k.stack || '–'), [swatch(i), ` ${k.item_id}`], [h('strong', {}, width(ordered)), sawn],
      [lineal(k.counted_length_m ?? 0), whole ? null : h('small', {}, ` ${parts.map((r) => `${long(r.from_mm ?? 0)} to ${long(r.to_mm)}`).join(', ')}`)]];
  }), { class: 'large' });
}
