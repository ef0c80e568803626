// What the service said of a board: where the wood goes, what the order then still
// wants, the plans that came next, and how it compares with a plan that was kept.

import { h, button, table } from './dom.js';
import { letter, placeOf, swatch } from './marks.js';
import { area, money, percent, width, lineal, long, amount, measure } from './units.js';

const parts = [['strip', 'strips'], ['end_trim', 'end trim'], ['offcut', 'offcut'], ['edging', 'edging'], ['kerf', 'kerf']];

// accountBar shows where the wood goes, as parts of the face.
export function accountBar(account) {
  const face = account.face_m2 || 1;
  const bar = h('div', { class: 'bar', role: 'img', 'aria-label': `Of the face: ${parts.map(([p, name]) => `${name} ${percent((account[`${p}_m2`] ?? 0) / face)}`).join(', ')}` });
  for (const [p] of parts) {
    const e = h('span', { class: `part ${p}` });
    e.style.flexGrow = 1000 * (account[`${p}_m2`] ?? 0) / face;
    bar.append(e);
  }
  const legend = h('ul', { class: 'legend' }, parts.map(([p, name]) => h('li', {}, h('span', { class: `part swatch ${p}` }), `${name} ${percent((account[`${p}_m2`] ?? 0) / face)}`)));
  return [bar, legend];
}

// contents says what a plan makes: 2 × A 66.6, 1 × B 50.
export function contents(plan, order) {
  const counts = new Map();
  for (const k of plan.pockets ?? []) {
    if (!k.item_id) continue;
    const i = placeOf(order, k.item_id);
    const name = `${letter(i)} ${k.item_id}${order.items[i]?.range ? ` ${width(k.width_mm)}` : ''}`;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts].map(([name, n]) => `${n} × ${name}`).join(', ') || 'nothing';
}

const rows = [
  ['Worth', (p) => p.worth ?? 0, money], ['Yield', (p) => p.account.yield_ratio ?? 0, percent],
  ...parts.map(([p, name]) => [name[0].toUpperCase() + name.slice(1), (plan) => plan.account[`${p}_m2`] ?? 0, area]),
  ['Crosscut loss', (p) => p.account.crosscut_loss_m2 ?? 0, area], ['Re-rip', (p) => p.account.rerip_m2 ?? 0, area],
  ['Blades in the wood', (p) => p.blades_in_wood ?? 0, String], ['Travel', (p) => p.travel_mm ?? 0, width], ['Width deviation', (p) => p.deviation_mm ?? 0, width],
];

// compare is a table of a plan, beside the other one if there is one.
export function compare(name, plan, order, other) {
  const sign = (v, write) => Math.abs(v) < 1e-9 ? '0' : `${v > 0 ? '+' : '−'}${write(Math.abs(v))}`;
  const body = rows.filter(([, of]) => of(plan) !== 0 || other && of(other.plan) !== 0).map(([title, of, write]) =>
    other ? [title, write(of(other.plan)), write(of(plan)), sign(of(plan) - of(other.plan), write)] : [title, write(of(plan))]);
  const makes = other ? ['Makes', contents(other.plan, other.order), contents(plan, order), ''] : ['Makes', contents(plan, order)];
  return table(other ? `${name} beside ${other.name}` : `Account of ${name}`, other ? ['figure', other.name, name, 'change'] : ['figure', name], [makes, ...body]);
}

// fills shows how each item stands.
export function fills(list, order) {
  return h('ul', { class: 'fills' }, list.map((f, i) => {
    const need = measure(f.required), before = measure(f.made), after = measure(f.made_after);
    const part = need > 0 ? Math.min(after / need, 1) : 0;
    const bar = h('span', { class: 'fill', 'aria-hidden': 'true' });
    const was = h('span', { class: 'was' }), now = h('span', { class: 'now' });
    was.style.width = need > 0 ? percent(Math.min(before / need, 1)).replace(' ', '') : '0%';
    now.style.width = percent(part).replace(' ', '');
    bar.append(now, was);
    const lengths = (f.lengths ?? []).map((l) => `${long(l.length_mm)}: ${l.made_after ?? 0}${l.required ? ` of ${l.required}` : ''}`).join(', ');
    const text = f.lengths?.length ? lengths : `${amount(f.made_after)}${f.required ? ` of ${amount(f.required)}` : ''}${after > before ? `, this board ${amount(difference(f))}` : ''}`;
    return h('li', {}, h('span', { class: 'who' }, swatch(i), ` ${order.items[i]?.item_id ?? f.item_id}`), f.required ? bar : null, h('span', { class: 'how' }, text));
  }));
}

function difference(f) {
  const [unit] = Object.keys(f.made_after);
  return { [unit]: f.made_after[unit] - (f.made?.[unit] ?? 0) };
}

// choices are the best plan and those that came next, each with what it loses and gains
// against the best; choose is told the index, -1 being the best.
export function choices(answer, order, chosen, choose) {
  return [answer.plan, ...answer.runners_up ?? []].map((p, i) => {
    const less = (answer.plan.worth ?? 0) - (p.worth ?? 0);
    return button([h('strong', {}, i === 0 ? 'Best plan' : less > 1e-9 ? `${money(less)} less` : 'As much'), ` worth ${money(p.worth ?? 0)} `,
      h('span', { class: 'small' }, i === 0 ? contents(p, order) : exchange(answer.plan, p, order))], () => choose(i - 1), { class: 'choice', 'aria-pressed': String(chosen === i - 1) });
  });
}

// exchange says what one plan makes less and more of than another, by item.
export function exchange(from, to, order) {
  const sums = new Map();
  for (const [plan, sign] of [[from, -1], [to, 1]]) {
    for (const k of plan.pockets ?? []) {
      if (!k.item_id) continue;
      const s = sums.get(k.item_id) ?? { m: 0, worth: 0 };
      s.m += sign * (k.counted_length_m ?? 0);
      s.worth += sign * (k.worth ?? 0);
      sums.set(k.item_id, s);
    }
  }
  const all = [...sums].map(([id, s]) => ({ name: `${letter(placeOf(order, id))} ${id}`, ...s })).filter((s) => Math.abs(s.m) > 1e-6 || Math.abs(s.worth) > 1e-9).sort((a, b) => a.worth - b.worth);
  const says = (list) => list.map((s) => `${lineal(Math.abs(s.m))} ${s.name} (${s.worth < 0 ? '−' : '+'}${money(Math.abs(s.worth))})`).join(', ');
  const lost = all.filter((s) => s.worth < 0 || s.worth === 0 && s.m < 0), more = all.filter((s) => !lost.includes(s));
  if (all.length === 0) return 'has the same strips at other positions';
  return [lost.length ? `loses ${says(lost)}` : '', more.length ? `gains ${says(more)}` : ''].filter((t) => t).join('; ');
}
