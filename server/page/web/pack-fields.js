// What is compared when an order is run in two ways: values and saws, and the price of
// the lumber.

import { h, byID } from './dom.js';
import { job } from './job.js';
import { Form, rebuild } from './form.js';

const says = { planned: 'planned values', own: 'own values' };
const sides = ['Left', 'Right'];

// ways names a run by what tells the two apart.
export function ways(ask, k, saw) {
  const [a, b] = ask.ways, values = says[ask.ways[k].values];
  const saws = a.saw !== b.saw, name = saw.name || 'this saw';
  if (saws && a.values !== b.values) return `${values}, ${name}`;
  return saws ? name : values;
}

export function packFields(ask, { saws, kept, changed }) {
  const form = new Form({ pack: ask }, () => changed());
  const values = (k) => [['planned', 'planned for the whole order'], ['own', 'as the order has them'], ...k === 1 && kept() ? [['kept', kept().name]] : []];
  const way = (k) => h('fieldset', { class: 'way' }, h('legend', {}, sides[k]), h('div', { class: 'fields' },
    form.choice(`pack.ways[${k}].values`, 'Values of the items', values(k), { shape: true }),
    form.choice(`pack.ways[${k}].saw`, 'Saw', [['', `${job.saw.name || 'without a name'} (set up)`], ...saws().filter((s) => s.name).map((s) => [s.name, s.name])])));
  const build = () => rebuild(byID('pack-fields'), () => [
    h('div', { class: 'pair' }, way(0), way(1)),
    h('div', { class: 'fields' }, form.field('pack.price_per_mbf', 'Price per 1,000 bd ft'), form.field('pack.currency', 'Currency', 'text'),
      form.field('pack.every', 'Replan every N boards')),
  ]);
  return { build };
}
