// What a quote says: the headline, what to buy of each lot, a sentence to send, ranges
// and fills as charts, and the figures by every choice of values.

import { h, button, table, speak } from './dom.js';
import { lineChart, rangeChart } from './chart.js';
import { letter, placeOf } from './marks.js';
import { money, percent, many, manyM2, noun, lineal } from './units.js';

const reasons = {
  PLANNING_RESULT_IMPOSSIBLE: 'Nothing of this order can be made from this lumber on this saw.',
  PLANNING_RESULT_UNFINISHED: 'There are no figures: some simulations ended before the order was filled.',
  PLANNING_RESULT_STOPPED: 'There are no figures: the time limit was reached first.',
};
const choices = { VALUE_CHOICE_PLANNED: 'planned values', VALUE_CHOICE_OWN: 'own values', VALUE_CHOICE_YIELD: 'yield alone' };
const nameOf = (o) => choices[o.values] ?? o.values;
const count = (v) => v.toFixed(0);
const hours = (v) => v < 1 ? `${(60 * v).toFixed(0)} min` : `${v.toFixed(1)} h`;

// interval writes a figure with its ends. What is not known has none.
const interval = (e, write) => e ? `${write(e.mean ?? 0)} (${write(e.lower ?? 0)} to ${write(e.upper ?? 0)})` : '–';
const pick = (e) => ({ low: e.lower ?? 0, mean: e.mean ?? 0, high: e.upper ?? 0 });

// enough tells whether there were so many simulations that an interval holds its level.
const enough = (simulations, level) => simulations >= Math.ceil(2 / (1 - level) - 1 - 1e-9);

export function result({ value, order, saw, level, objective }, wide) {
  const q = value.quote;
  const impossible = (value.impossible ?? []).map((m) => h('li', {}, `${m.item_id}: ${m.says}`));
  const parts = impossible.length ? [h('p', {}, 'No expected board can give these items; all other figures leave them out:'), h('ul', {}, impossible)] : [];
  if (!q?.boards) return [...parts, h('p', { class: 'verdict bad' }, reasons[value.result] ?? 'There is no quote.')];
  const all = [q, ...(value.others ?? []).filter((o) => o.boards)];
  const cash = (v) => value.currency ? `${money(v)} ${value.currency}` : money(v);
  const range = (title, of, write, bound, least) => [h('h3', {}, title), rangeChart(wide, {
    least, write, label: `${title}: ${all.map((o) => `${nameOf(o)} ${interval(of(o), write)}`).join('; ')}`,
    rows: all.map((o, i) => ({ name: nameOf(o), ...pick(of(o)), mark: i === 0 ? bound : undefined })) }),
  bound === undefined ? null : h('p', { class: 'hint' }, 'The dashed line is the bound: on average, ripping such boards cannot take less.')].filter((e) => e);
  return [
    h('h2', { class: 'printed' }, `Order ${order.order_id || 'without a name'}${saw ? ` on ${saw}` : ''}, ${new Date().toISOString().slice(0, 10)}`),
    ...parts,
    h('p', { class: 'headline' }, h('strong', {}, count(q.boards.mean ?? 0)), ` ${noun(count(q.boards.mean ?? 0), 'board')}, `, h('strong', {}, q.cost ? cash(q.cost.mean ?? 0) : 'no price'), ' for the lumber, ', h('strong', {}, percent(q.yield_ratio.mean ?? 0)), ' yield', q.saw_hours ? [', ', h('strong', {}, hours(q.saw_hours.mean ?? 0)), ' at the saw'] : ''),
    ...lots(q, value, cash),
    ...sentence(q, order, level, cash, value.impossible ?? []),
    ...value.advice ? [h('p', {}, `Cut it by ${nameOf({ values: value.advised })}: ${value.advice}.`)] : [],
    h('p', {}, `${reach(q.simulations, level)} From ${many(q.simulations, 'simulation')}${q.unfinished ? `, of which ${q.unfinished} did not fill the order` : ''}${value.ended_by === 'ENDED_BY_TIME_LIMIT' ? `; the time limit stopped them early: ${value.left_undone}` : ''}.`),
    ...!q.cost ? [] : range('Cost of the lumber', (o) => o.cost, cash, objective === 'PLAN_OBJECTIVE_COST' ? value.bound : undefined),
    ...range('Boards', (o) => o.boards, count, objective === 'PLAN_OBJECTIVE_BOARDS' ? value.bound : undefined, 1),
    h('h3', {}, 'Fill over boards'), fillChart(q, wide, order),
    items(q, order),
    table('By choice of values', ['values', 'boards', 'board feet', 'cost', 'yield', 'saw hours', 'shifts'], all.map((o) => [nameOf(o), interval(o.boards, count), interval(o.board_feet, count), interval(o.cost, cash), percent(o.yield_ratio?.mean ?? 0), interval(o.saw_hours, hours), interval(o.shifts, (v) => v.toFixed(1))])),
  ];
}

// lots is the buy list.
function lots(q, value, cash) {
  const list = q.lots ?? [];
  if (list.length === 0) return [];
  const asked = (value.lots ?? []).some((l) => l.leave || l.leaving_costs !== undefined || l.pack_saves !== undefined);
  const without = (u) => u?.leave ? 'leave it' : u?.leaving_costs !== undefined ? `${cash(u.leaving_costs)} more` : !asked ? '–' : value.ended_by === 'ENDED_BY_TIME_LIMIT' ? 'not known' : 'not filled';
  return [table('What to buy', ['lot', 'boards', 'board feet', 'money', ...asked ? ['without it', 'one more pack'] : []], list.map((l, i) => {
    const u = (value.lots ?? []).find((x) => x.lot_id === l.lot_id) ?? value.lots?.[i];
    return [l.lot_id || `lot ${i + 1}`, interval(l.boards, count), interval(l.board_feet, count), interval(l.cost, cash), ...asked ? [without(u), u?.pack_saves !== undefined ? `saves ${cash(u.pack_saves)}` : '–'] : []];
  }), { class: 'buy' })];
}

// sentence is what a salesman can send as it stands.
function sentence(q, order, level, cash, impossible) {
  const often = q.simulations > 1 ? `In ${percent(level).replace('.0 %', ' %')} of cases it comes to` : 'In a single trial it came to';
  const feet = q.board_feet ? many(count(q.board_feet.mean ?? 0), 'board foot', 'board feet') : manyM2(q.face_m2?.mean ?? 0);
  const without = [...new Set(impossible.map((m) => m.item_id))].join(' and ');
  const name = `${order.order_id ? `order ${order.order_id}` : 'the order'}${without ? ` without ${without}, which this lumber does not give,` : ''}`;
  const bought = (q.lots ?? []).filter((l) => (l.boards?.mean ?? 0) >= 0.5);
  const text = `For ${name} we need about ${feet} of lumber, ${many(count(q.boards.mean ?? 0), 'board')}${bought.length > 1 ? ` (${bought.map((l) => `${count(l.boards.mean)} of ${l.lot_id}`).join(', ')})` : ''}`
    + `${q.cost ? `, for about ${cash(q.cost.mean ?? 0)}. ${often} between ${cash(q.cost.lower ?? 0)} and ${cash(q.cost.upper ?? 0)}` : `. ${often} between ${count(q.boards.lower ?? 0)} and ${count(q.boards.upper ?? 0)} boards`}, if the lumber comes as described.`;
  const said = h('span', { role: 'status' });
  return [h('p', { class: 'sentence', id: 'quote-sentence' }, text), h('div', { class: 'tools' }, button('Copy this sentence', async () => {
    try {
      await navigator.clipboard.writeText(text);
      said.textContent = 'Copied.';
    } catch { // no clipboard without TLS away from this machine
      getSelection().selectAllChildren(document.getElementById('quote-sentence'));
      said.textContent = document.execCommand('copy') ? 'Copied.' : 'Copying failed. The text is selected: copy it with Ctrl+C.';
    }
    speak(said.textContent);
  }, { class: 'small' }), said)];
}

// reach says what an interval holds.
function reach(simulations, level) {
  if (simulations < 2) return 'A single simulation has no interval.';
  const chance = `One more simulation falls into an interval with a chance of ${percent(level)}, if the lumber comes as described`;
  return enough(simulations, level) ? `${chance}.` : `${chance} and simulations are normally distributed; without that, ask for ${Math.ceil(2 / (1 - level) - 1 - 1e-9)} of them.`;
}

const itemName = (o, order) => `${letter(placeOf(order, o.item_id))} ${o.item_id}${o.length_mm ? ` ${o.length_mm}` : ''}`;

function fillChart(q, wide, order) {
  const boards = q.boards.mean ?? 0;
  return lineChart(wide, { label: `Fill of each item over the boards. ${(q.items ?? []).map((o) => `${o.item_id} is filled at board ${Math.round(o.filled_at_board?.mean ?? 0)}`).join(', ')}`,
    x: 'boards', y: 'filled, %', low: 0, high: 100, most: boards,
    series: (q.items ?? []).map((o) => ({ name: itemName(o, order), short: `${letter(placeOf(order, o.item_id))}${o.length_mm ? ` ${o.length_mm}` : ''}`, tint: placeOf(order, o.item_id), points: [[0, 0], ...(o.fill ?? []).map((v, i, all) => [boards * (i + 1) / all.length, 100 * v])] })) });
}

function items(q, order) {
  const write = (o) => {
    const it = order.items.find((i) => i.item_id === o.item_id);
    if (o.length_mm || it?.required?.pieces !== undefined) return count;
    return it?.range ? manyM2 : lineal;
  };
  return table('Items', ['item', 'made', 'filled at board', 'last to fill in'], (q.items ?? []).map((o) => [itemName(o, order), interval(o.made, write(o)), o.filled_at_board?.mean ? interval(o.filled_at_board, count) : 'never', percent(o.holds_open ?? 0)]));
}
