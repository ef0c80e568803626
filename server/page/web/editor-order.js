// The fields of a cut order.

import { h, button } from './dom.js';
import { Form } from './form.js';
import { job, changed } from './job.js';
import { bareWidth, amount } from './units.js';
import { part } from './editor-saw.js';

const form = new Form(job, changed);

export function orderFields() {
  const items = job.order.items ??= [];
  return [
    h('div', { class: 'fields' }, form.field('order.order_id', 'Name', 'text')),
    items.map((it, i) => item(it, i)),
    button('Add an item', () => {
      let n = items.length + 1;
      while (items.some((it) => it.item_id === `item ${n}`)) n++;
      items.push({ item_id: `item ${n}`, width_mm: 60, value: 20 });
      changed(true);
    }, { class: 'small' }),
    button('Set everything made to nothing', () => {
      for (const it of items) {
        delete it.made;
        it.crosscut?.lengths?.forEach((l) => { delete l.made; });
      }
      changed(true);
    }, { class: 'small' }),
  ];
}

// headOf says an item in a line.
export function headOf(it) {
  const wide = it.range ? `${bareWidth(it.range.min_mm ?? 0)} to ${bareWidth(it.range.max_mm ?? 0)}` : bareWidth(it.width_mm ?? 0);
  return `${it.item_id || 'no name'}: ${wide}${it.required ? `, ${amount(it.required)}` : ''}`;
}

function item(it, i) {
  const path = `order.items[${i}]`;
  const f = (name, label, kind) => form.field(`${path}.${name}`, label, kind);
  return h('details', { class: 'item', 'data-key': `item${i}` },
    h('summary', { 'data-item': i }, headOf(it)),
    h('div', { class: 'fields' },
      f('item_id', 'Name', 'text'),
      form.choice(path, 'Width', [['one', 'one width'], ['range', 'any width between']], {
        shape: true, now: () => it.range ? 'range' : 'one',
        take: (to) => {
          if (to === 'one') { it.width_mm = it.range?.min_mm; delete it.range; } else { it.range = { min_mm: it.width_mm, max_mm: it.width_mm }; delete it.width_mm; }
          delete it.required;
          delete it.made;
        },
      }),
      it.range ? [f('range.min_mm', 'Least width', 'length'), f('range.max_mm', 'Greatest width', 'length')] : f('width_mm', 'Strip width', 'length'),
      it.crosscut ? null : f('value', 'Value'),
      it.crosscut ? null : form.choice(`${path}.value_per`, 'Value is per', [['VALUE_PER_AREA', 'm² of strip'], ['VALUE_PER_LENGTH', 'm of strip'], ['VALUE_PER_STRIP', 'strip']]),
      wanted(it, path), f('stack', 'Stack at the outfeed', 'text')),
    part(`more${i}`, 'Lengths, tolerance, defects',
      f('min_length_mm', 'Least length that counts', 'long'), f('max_length_mm', 'Longest board that makes it', 'long'),
      f('piece_length_mm', 'A piece is so long', 'long'), f('tolerance_mm', 'Width tolerance', 'length'), f('accepts', 'Defects it may show, by kind', 'words')),
    crosscut(it, i, path),
    button(`Remove ${it.item_id || 'this item'}`, () => { job.order.items.splice(i, 1); changed(true); }, { class: 'small' }));
}

const amounts = [['', 'no limit'], ['length_m', 'a length'], ['area_m2', 'an area'], ['pieces', 'pieces']];
const amountKinds = { length_m: 'metres', area_m2: 'area', pieces: 'number' };

function wanted(it, path) {
  const unit = Object.keys(it.required ?? {})[0] ?? '';
  const choose = form.choice(`${path}.required`, 'Wanted', amounts.filter(([u]) => u !== (it.range ? 'length_m' : 'area_m2')), {
    shape: true, now: () => unit,
    take: (to) => {
      delete it.made;
      if (to === '') delete it.required;
      else it.required = { [to]: 100 };
    },
  });
  if (unit === '') return choose;
  return [choose, form.field(`${path}.required.${unit}`, 'Required', amountKinds[unit]), form.field(`${path}.made.${unit}`, 'Made already', amountKinds[unit])];
}

function crosscut(it, i, path) {
  const lengths = it.crosscut?.lengths ?? [];
  const add = () => {
    it.crosscut ??= { lengths: [], kerf_mm: 4 };
    it.crosscut.lengths.push({ length_mm: 500 + 100 * lengths.length, value: 1 });
    delete it.value;
    delete it.value_per;
    changed(true);
  };
  return h('details', { 'data-key': `cross${i}` }, h('summary', {}, `Crosscut lengths${lengths.length ? ` (${lengths.length})` : ''}`),
    lengths.length ? h('div', { class: 'fields' }, form.field(`${path}.crosscut.kerf_mm`, 'Crosscut kerf', 'length'), form.field(`${path}.crosscut.end_trim_mm`, 'Trim off both ends', 'length')) : null,
    lengths.map((_, k) => h('div', { class: 'fields row' },
      form.field(`${path}.crosscut.lengths[${k}].length_mm`, 'Length', 'long'), form.field(`${path}.crosscut.lengths[${k}].value`, 'Value of a piece'),
      form.field(`${path}.crosscut.lengths[${k}].required`, 'Wanted'), form.field(`${path}.crosscut.lengths[${k}].made`, 'Made'),
      button('Remove', () => {
        it.crosscut.lengths.splice(k, 1);
        if (it.crosscut.lengths.length === 0) delete it.crosscut;
        changed(true);
      }, { class: 'small', 'aria-label': `Remove length ${k + 1} of ${it.item_id}` }))),
    button('Add a length', add, { class: 'small' }));
}
