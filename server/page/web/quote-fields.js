// The fields of a quote: the lumber that could be bought, lot by lot, and how the order
// is simulated.

import { h, button } from './dom.js';
import { job } from './job.js';
import { hand, boardsName } from './hand.js';
import { taken } from './refuse.js';

const mostListed = 200; // boards at hand that a lot lists; of the demo's the first 60
const atHand = new WeakSet(); // lists of the boards at hand, which are not sent twice
const fresh = {
  listed: () => {
    const listed = { boards: (hand.own ? hand.boards.slice(0, mostListed) : hand.boards.slice(0, 60)).map((board) => ({ board })) };
    atHand.add(listed);
    return { listed };
  },
  spread: () => ({ spread: { mean_width_mm: 190, width_sd_mm: 45, min_width_mm: 100, max_width_mm: 320, crook_mm: 6, taper_mm: 8, thickness_mm: 27, lengths: [{ length_mm: 2400, share: 2 }, { length_mm: 3000, share: 1 }] } }),
  tagged: () => ({ tagged: { thickness_mm: 27, rows: [{ width_mm: 170, length_mm: 2400, count: 40 }, { width_mm: 205, length_mm: 3000, count: 25 }] } }),
};
const sources = Object.keys(fresh);

// begin is what is asked at first: the boards at hand, at a price.
export const begin = () => ({ lumber: { lots: [lotOf('lot 1', 4200, 'listed')], seed: 1 }, stock: [{}], objective: 'PLAN_OBJECTIVE_COST', simulations: 19, level: 0.9,
  pace: { feed_m_per_min: 30, positioning_mm_per_s: 250, handling_s: 3, shift_hours: 8 } });

// light gives what is asked without the boards at hand, and heavy puts them in again.
export const light = (ask) => ({ ...ask, lumber: { ...ask.lumber, lots: ask.lumber.lots.map(({ listed, ...l }) => listed && atHand.has(listed) ? { ...l, at_hand: true } : { ...l, listed }) } });
const heavy = (ask) => ({ ...ask, lumber: { ...ask.lumber, lots: ask.lumber.lots.map(({ at_hand, ...l }) => at_hand ? { ...l, ...fresh.listed() } : l) } });

const own = ['lumber', 'stock', 'objective', 'simulations', 'level', 'pace', 'currency', 'compare'];

// ownOf gives of a quote that was brought what this page has fields for, as far as it fits
// the interface.
export function ownOf(quote) {
  const { stock, compare, ...ask } = Object.fromEntries(Object.entries(heavy(structuredClone(quote))).filter(([name]) => own.includes(name)));
  return { ...taken(ask, 'QuoteOrderRequest'), stock: (Array.isArray(stock) ? stock : []).map((s) => taken(s ?? {}, 'LotStock')), compare: compare === true };
}

const lotOf = (lot_id, price_per_mbf, source) => ({ lot_id, price_per_mbf, ...fresh[source]() });

// fields builds them all; again is called where rows come or go.
export function fields(ask, form, again) {
  return [
    h('p', {}, 'Order ', h('strong', {}, job.order.order_id || 'without a name'), ` with ${job.order.items.length} items on saw `, h('strong', {}, job.saw.name || 'without a name'), '; to change them, see ',
      h('a', { href: '#pack' }, 'Whole order'), ' and ', h('a', { href: '#board' }, 'One board'), ', or drop files here.'),
    ask.lumber.lots.map((l, i) => lot(ask, form, again, l, i)),
    button('Add a lot', () => {
      let n = ask.lumber.lots.length + 1;
      while (ask.lumber.lots.some((l) => l.lot_id === `lot ${n}`)) n++;
      ask.lumber.lots.push(lotOf(`lot ${n}`, 3900, 'spread'));
      ask.stock.push({});
      again();
    }, { class: 'small' }),
    h('div', { class: 'fields' },
      form.choice('objective', 'Objective', [['PLAN_OBJECTIVE_COST', 'least cost'], ['PLAN_OBJECTIVE_FACE', 'least face'], ['PLAN_OBJECTIVE_BOARDS', 'fewest boards']]),
      form.field('currency', 'Currency', 'text'), form.field('simulations', 'Simulations'), form.field('level', 'Level of intervals', 'level')),
    h('details', { 'data-key': 'pace' }, h('summary', {}, 'Pace of the saw, seed, other values'), h('div', { class: 'fields' },
      form.field('pace.feed_m_per_min', 'Feed', 'feed'), form.field('pace.positioning_mm_per_s', 'Positioning', 'speed'),
      form.field('pace.handling_s', 'Handling, s/board'), form.field('pace.shift_hours', 'Hours per shift'), form.field('lumber.seed', 'Seed'),
      form.check('compare', 'Compare with own values and yield alone'))),
  ];
}

function lot(ask, form, again, l, i) {
  const path = `lumber.lots[${i}]`, source = sources.find((s) => l[s]) ?? 'listed';
  return h('fieldset', { class: 'lot' }, h('legend', {}, `Lot ${i + 1}`),
    h('div', { class: 'fields' },
      form.field(`${path}.lot_id`, 'Name', 'text'), form.field(`${path}.price_per_mbf`, 'Price per 1,000 bd ft'),
      form.choice(path, 'Boards', [['listed', l.listed ? `${l.listed.boards.length} listed boards` : boardsName()], ['spread', 'a distribution'], ['tagged', 'a pack tag']], {
        shape: true, now: () => source,
        take: (to) => {
          sources.forEach((s) => { delete l[s]; });
          Object.assign(l, fresh[to]());
        },
      }),
      form.field(`stock[${i}].max_boards`, 'Boards available'), form.field(`stock[${i}].pack_boards`, 'Boards per further pack'),
      ask.lumber.lots.length > 1 ? button('Remove', () => {
        ask.lumber.lots.splice(i, 1);
        ask.stock.splice(i, 1);
        again();
      }, { class: 'small', 'aria-label': `Remove lot ${i + 1}` }) : null),
    source === 'listed' ? null : h('details', { 'data-key': `lot${i}`, open: ask.lumber.lots.length === 1 }, h('summary', {}, source === 'spread' ? 'Widths and lengths' : `Pack tag of ${l.tagged.rows.length} rows`),
    source === 'spread' ? [spread(form, path), list(l.spread.lengths, form, again, `${path}.spread.lengths`, 'Board lengths', 'length', { length_mm: 2400, share: 1 }, [['length_mm', 'Length', 'long'], ['share', 'Share']])] : null,
    source === 'tagged' ? [h('div', { class: 'fields' }, form.field(`${path}.tagged.thickness_mm`, 'Thickness', 'length')), list(l.tagged.rows, form, again, `${path}.tagged.rows`, 'Tag rows', 'row', { width_mm: 180, length_mm: 2400, count: 10 }, [['width_mm', 'Width', 'length'], ['length_mm', 'Length', 'long'], ['count', 'Count']])] : null));
}

const spread = (form, path) => h('div', { class: 'fields' }, [['mean_width_mm', 'Mean width'], ['width_sd_mm', 'Standard deviation'], ['min_width_mm', 'Least width'], ['max_width_mm', 'Greatest width'], ['crook_mm', 'Greatest crook'], ['taper_mm', 'Greatest taper'], ['thickness_mm', 'Thickness']]
  .map(([name, label]) => form.field(`${path}.spread.${name}`, label, 'length')));

function list(rows, form, again, path, title, one, added, columns) {
  return h('fieldset', {}, h('legend', {}, title),
    rows.map((_, i) => h('div', { class: 'fields row' }, columns.map(([name, label, kind]) => form.field(`${path}[${i}].${name}`, label, kind)),
      button('Remove', () => { rows.splice(i, 1); again(); }, { class: 'small', 'aria-label': `Remove ${one} ${i + 1}` }))),
    button(`Add a ${one}`, () => { rows.push({ ...added }); again(); }, { class: 'small' }));
}

// request makes what is sent. What to buy can be asked where every lot has a price
// and cost is what counts.
export function request({ stock, compare, ...ask }) {
  const lots = ask.lumber.lots.map((l, i) => ({ lot_id: l.lot_id, ...stock[i] })), some = lots.filter((l) => l.max_boards || l.pack_boards);
  const buying = ask.objective === 'PLAN_OBJECTIVE_COST' && ask.lumber.lots.every((l) => l.price_per_mbf !== undefined) && (lots.length > 1 || some.length > 0);
  return { saw: job.saw, order: job.order, ...ask, compare: compare ? ['VALUE_CHOICE_OWN', 'VALUE_CHOICE_YIELD'] : undefined, buy_list: buying ? { lots: some } : undefined };
}

// pathOf turns a path of the request into that of the field that gave it.
export const pathOf = (path, ask) => path.replace(/^quote\./, '').replace(/^buy_list\.lots\[(\d+)\]/, (_, k) => `stock[${ask.stock.map((s, i) => [s, i]).filter(([s]) => s.max_boards || s.pack_boards)[k]?.[1] ?? 0}]`);
