// The crosscut lengths of an item.

import { h, button } from './dom.js';
import { changed } from './job.js';

export function crosscut(it, i, path, form) {
  const lengths = it.crosscut?.lengths ?? [];
  const add = () => {
    it.crosscut ??= { lengths: [], kerf_mm: 4 };
    it.crosscut.lengths.push({ length_mm: 500 + 100 * lengths.length, value: 1 });
    delete it.value;
    delete it.value_per;
    changed(true);
  };
  return h('details', { 'data-key': `cross${i}` }, h('summary', {}, `Crosscut lengths${lengths.length ? ` (${lengths.length})` : ''}`),
    lengths.length ? h('div', { class: 'fields' }, form.field(`${path}.crosscut.kerf_mm`, 'Crosscut kerf', 'length'), form.field(`${path}.crosscut.end_trim_mm`, 'End trim, each end', 'length')) : null,
    lengths.map((_, k) => h('div', { class: 'fields row' },
      form.field(`${path}.crosscut.lengths[${k}].length_mm`, 'Length', 'long'), form.field(`${path}.crosscut.lengths[${k}].value`, 'Value per piece'),
      form.field(`${path}.crosscut.lengths[${k}].required`, 'Wanted'), form.field(`${path}.crosscut.lengths[${k}].made`, 'Made'),
      button('Remove', () => {
        it.crosscut.lengths.splice(k, 1);
        if (it.crosscut.lengths.length === 0) delete it.crosscut;
        changed(true);
      }, { class: 'small', 'aria-label': `Remove length ${k + 1} of ${it.item_id}` }))),
    button('Add a length', add, { class: 'small' }));
}
