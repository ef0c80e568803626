// The order as one table: a row an item, and below it what few items need.

import { h, button } from './dom.js';
import { Form } from './form.js';
import { job, changed } from './job.js';
import { kinds } from './units.js';
import { letter, swatch } from './marks.js';
import { crosscut } from './editor-lengths.js';

const form = new Form(job, changed);
const heads = () => ['Item', `Width, ${kinds.length.unit()}`, `Wanted, ${kinds.metres.unit()} or ${kinds.area.unit()}`, 'Made', 'Value, per', 'Stack', ''];

export function orderFields() {
  const items = job.order.items ??= [];
  return [
    h('div', { class: 'fields' }, form.field('order.order_id', 'Name of the order', 'text')),
    h('div', { class: 'items', role: 'group', 'aria-label': 'Items of the order' },
      h('div', { class: 'item-heads', 'aria-hidden': 'true' }, heads().map((t) => h('span', {}, t))),
      items.map((it, i) => item(it, i))),
    h('div', { class: 'tools' }, button('Add an item', () => {
      let n = items.length + 1;
      while (items.some((it) => it.item_id === `item ${n}`)) n++;
      items.push({ item_id: `item ${n}`, width_mm: 60, value: 20, required: { length_m: 50 } });
      changed(true);
    }, { class: 'small' }),
    button('Reset made amounts', () => {
      for (const it of items) {
        delete it.made;
        it.crosscut?.lengths?.forEach((l) => { delete l.made; });
      }
      changed(true);
    }, { class: 'small' })),
  ];
}

function item(it, i) {
  const path = `order.items[${i}]`, name = it.item_id || 'this item';
  const f = (field, label, kind) => form.field(`${path}.${field}`, label, kind);
  const unit = Object.keys(it.required ?? {})[0];
  const cell = (head, ...what) => h('div', { class: `cell ${head}` }, what);
  return h('div', { class: 'item', role: 'group', 'aria-label': `Item ${letter(i)}` },
    h('div', { class: 'item-row' },
      cell('who', swatch(i), f('item_id', 'Name', 'text')),
      cell('wide', it.range ? [f('range.min_mm', 'From', 'length'), f('range.max_mm', 'to', 'length')] : f('width_mm', 'Width', 'length')),
      cell('want', unit ? form.field(`${path}.required.${unit}`, 'Wanted', amountKinds[unit]) : h('span', { class: 'none' }, it.crosscut ? 'by lengths' : 'no limit')),
      cell('made', unit ? form.field(`${path}.made.${unit}`, 'Made', amountKinds[unit]) : ''),
      cell('value', it.crosscut ? h('span', { class: 'none' }, 'by lengths') : [f('value', 'Value'),
        form.choice(`${path}.value_per`, 'per', [['VALUE_PER_AREA', 'm²'], ['VALUE_PER_LENGTH', 'm'], ['VALUE_PER_STRIP', 'strip']], { now: () => it.value_per && it.value_per !== 'VALUE_PER_UNSPECIFIED' ? it.value_per : 'VALUE_PER_AREA' })]),
      cell('stack', f('stack', 'Stack', 'text')),
      cell('gone', button('×', () => { job.order.items.splice(i, 1); changed(true); }, { class: 'small', 'aria-label': `Remove ${name}` }))),
    h('details', { 'data-key': `item${i}` },
      h('summary', {}, 'Lengths, tolerance, defects', h('span', { class: 'unseen' }, ` of ${name}`)),
      h('div', { class: 'fields' },
        form.choice(path, 'Width', [['one', 'one width'], ['range', 'range of widths']], {
          shape: true, now: () => it.range ? 'range' : 'one',
          take: (to) => {
            if (to === 'one') { it.width_mm = it.range?.min_mm; delete it.range; } else { it.range = { min_mm: it.width_mm, max_mm: it.width_mm }; delete it.width_mm; }
            delete it.required;
            delete it.made;
          },
        }),
        form.choice(`${path}.required`, 'Wanted', amounts.filter(([u]) => u !== (it.range ? 'length_m' : 'area_m2')), {
          shape: true, now: () => unit ?? '',
          take: (to) => {
            delete it.made;
            if (to === '') delete it.required;
            else it.required = { [to]: 100 };
          },
        }),
        f('min_length_mm', 'Least length', 'long'), f('max_length_mm', 'Greatest board length', 'long'),
        f('piece_length_mm', 'Piece length', 'long'), f('tolerance_mm', 'Width tolerance', 'length'), f('accepts', 'Accepted defects, by kind', 'words')),
      crosscut(it, i, path, form)));
}

const amounts = [['', 'no limit'], ['length_m', 'a length'], ['area_m2', 'an area'], ['pieces', 'pieces']];
const amountKinds = { length_m: 'metres', area_m2: 'area', pieces: 'number' };
