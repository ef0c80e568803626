// The fields of a saw.

import { h, button } from './dom.js';
import { Form } from './form.js';
import { job, changed } from './job.js';
import { ways } from './turns.js';

const form = new Form(job, changed);

export function sawFields() {
  const f = (name, label, kind) => form.field(`saw.${name}`, label, kind);
  const blades = job.saw.blades ??= [];
  return [
    h('div', { class: 'fields' },
      f('name', 'Name', 'text'), f('kerf_mm', 'Kerf', 'length'), f('step_mm', 'Positioning step', 'length'),
      f('min_gap_mm', 'Least gap between blades', 'length'), f('edge_trim_mm', 'Edge trim', 'length'),
      f('min_strip_width_mm', 'Least strip width', 'length')),
    h('h4', {}, 'Fence'),
    h('div', { class: 'fields' }, travel('saw.fence', 'current_setting.fence_mm')),
    h('h4', {}, 'Blades, in their order from the fence'),
    blades.map((b, i) => blade(b, i)),
    button('Add a blade', () => addBlade(), { class: 'small' }),
    part('pace', 'Skew and pace',
      f('max_skew_mm_per_m', 'Greatest skew', 'skew'), f('feed_m_per_min', 'Feed', 'feed'),
      f('positioning_mm_per_s', 'Positioning', 'speed'), f('handling_s', 'Handling, s/board'),
      form.check('saw.positioning_overlaps_handling', 'Positioning overlaps handling')),
    part('turns', 'Board turns',
      h('p', {}, 'The person who feeds the saw turns each board as its plan says, clear of the feed works.'),
      form.check('options.turn_boards', 'Let plans turn boards'), ways.map(turning)),
    part('limits', 'Board limits',
      ['length', 'width', 'thickness'].map((what) => [
        f(`limits.min_${what}_mm`, `Least ${what}`, what === 'length' ? 'long' : 'length'),
        f(`limits.max_${what}_mm`, `Greatest ${what}`, what === 'length' ? 'long' : 'length')])),
    part('rerip', 'Re-rip of edgings and offcuts',
      f('rerip.min_width_mm', 'Least clear width', 'length'), f('rerip.value_per_m2', 'Value per m²')),
  ];
}

// turning has a way to turn boards and what that costs.
function turning([turn, words]) {
  const all = () => job.saw.turns ??= [], at = all().findIndex((t) => t.turn === turn);
  return [
    form.choice(`saw.turns.${turn}`, `Turn ${words}`, [['no', 'no'], ['yes', 'yes']], {
      shape: true, now: () => at < 0 ? 'no' : 'yes',
      take: (to) => { if (to === 'yes') all().push({ turn, cost: 0 }); else all().splice(at, 1); },
    }),
    at < 0 ? null : form.field(`saw.turns[${at}].cost`, `Cost of the turn ${words}`),
  ];
}

export const part = (key, title, ...fields) =>
  h('details', { 'data-key': key }, h('summary', {}, title), h('div', { class: 'fields' }, fields));

const travel = (path, now) => [form.field(`${path}.min_mm`, 'From', 'length'), form.field(`${path}.max_mm`, 'To', 'length'),
  form.field(now, 'Position', 'length')];

function blade(b, i) {
  const path = `saw.blades[${i}]`;
  const mount = form.choice(path, 'Mount', [['fixed', 'fixed'], ['moving', 'moving']], {
    shape: true, now: () => b.moving ? 'moving' : 'fixed',
    take: (to) => {
      const at = job.current_setting.blades_mm[i] ?? 0;
      job.saw.blades[i] = to === 'fixed' ? { fixed_mm: at } : { moving: { min_mm: at - 30, max_mm: at + 30 } };
    },
  });
  return h('fieldset', {}, h('legend', {}, `Blade ${i + 1}`),
    h('div', { class: 'fields' }, mount, b.moving ? travel(`${path}.moving`, `current_setting.blades_mm[${i}]`) : form.field(`${path}.fixed_mm`, 'Position', 'length')),
    button(`Remove blade ${i + 1}`, () => { job.saw.blades.splice(i, 1); job.current_setting.blades_mm.splice(i, 1); changed(true); }, { class: 'small' }));
}

function addBlade() {
  const last = job.saw.blades.at(-1);
  const at = last ? (last.fixed_mm ?? last.moving?.max_mm ?? 0) + (job.saw.kerf_mm ?? 0) + (job.saw.min_gap_mm ?? 30) : 100;
  job.saw.blades.push({ fixed_mm: Math.round(at * 10) / 10 });
  changed(true);
}
