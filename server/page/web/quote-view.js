// A quote: what the order takes in boards, money and hours, each with an interval,
// and how its items fill.

import { h, byID, button, table, speak } from './dom.js';
import { watch } from './call.js';
import { job } from './job.js';
import { Form, place, rebuild, refresh, unread } from './form.js';
import { lineChart, rangeChart } from './chart.js';
import { letter } from './marks.js';
import { money, onUnits, percent, manyM2, lineal } from './units.js';
import { showRequest } from './request.js';

const roots = ['lumber', 'simulations', 'level', 'max_boards', 'objective', 'pace', 'compare', 'order', 'saw', 'replan_every_boards', 'values', 'seed'];
const reasons = {
  PLANNING_RESULT_IMPOSSIBLE: 'Nothing can be made of this order by this lumber and saw.',
  PLANNING_RESULT_UNFINISHED: 'There are no figures: some simulations ended before the order was filled.',
  PLANNING_RESULT_STOPPED: 'There are no figures: the time limit came first.',
};
const choices = { VALUE_CHOICE_PLANNED: 'planned values', VALUE_CHOICE_OWN: 'own values', VALUE_CHOICE_YIELD: 'yield alone' };

export function quoteView(mill) {
  const like = {
    pack: () => ({ listed: { boards: mill.boards.slice(0, 60).map((board) => ({ board })) } }),
    spread: () => ({ spread: { mean_width_mm: 190, width_sd_mm: 45, min_width_mm: 100, max_width_mm: 320, crook_mm: 6, taper_mm: 8, thickness_mm: 27, lengths: [{ length_mm: 2400, share: 2 }, { length_mm: 3000, share: 1 }] } }),
    tag: () => ({ tagged: { thickness_mm: 27, rows: [{ width_mm: 170, length_mm: 2400, count: 40 }, { width_mm: 205, length_mm: 3000, count: 25 }] } }),
  };
  const ask = { lumber: { lots: [{ lot_id: 'lot 1', price_per_mbf: 4200, ...like.pack() }], seed: 1 }, objective: 'PLAN_OBJECTIVE_COST', simulations: 19, level: 0.9, pace: { feed_m_per_min: 30, positioning_mm_per_s: 250, handling_s: 3, shift_hours: 8 } };
  const form = new Form(ask, (shape) => { if (shape) build(); stale(); });
  let source = 'pack', answer = null, stop = null, asked = null;

  const request = () => ({ saw: job.saw, order: job.order, ...ask, compare: ask.compare ? ['VALUE_CHOICE_OWN', 'VALUE_CHOICE_YIELD'] : undefined });

  function build() {
    rebuild(byID('quote-fields'), () => [
      h('p', {}, 'Saw ', h('strong', {}, job.saw.name || 'without a name'), ` and order `, h('strong', {}, job.order.order_id || 'without a name'), ` with ${job.order.items.length} items, as set under `, h('a', { href: '#board' }, 'One board'), '.'),
      h('div', { class: 'fields' },
        form.choice('lumber', 'Lumber', [['pack', 'the first 60 boards of the demo pack'], ['spread', 'random widths'], ['tag', 'a pack tag']], {
          shape: true, now: () => source,
          take: (to) => {
            source = to;
            const { lot_id, price_per_mbf } = ask.lumber.lots[0];
            ask.lumber.lots[0] = { lot_id, price_per_mbf, ...like[to]() };
          },
        }),
        form.field('lumber.lots[0].price_per_mbf', 'Money per 1,000 board feet'), form.field('currency', 'Currency of the price', 'text'),
        source === 'spread' ? spread() : null),
      source === 'spread' ? list('lumber.lots[0].spread.lengths', 'Lengths that come', 'length', { length_mm: 2400, share: 1 }, [['length_mm', 'Length', 'long'], ['share', 'Share']]) : null,
      source === 'tag' ? list('lumber.lots[0].tagged.rows', 'Rows of the tag', 'row', { width_mm: 180, length_mm: 2400, count: 10 }, [['width_mm', 'Width', 'length'], ['length_mm', 'Length', 'long'], ['count', 'Count']]) : null,
      h('div', { class: 'fields' },
        form.choice('objective', 'Least', [['PLAN_OBJECTIVE_COST', 'cost'], ['PLAN_OBJECTIVE_FACE', 'face'], ['PLAN_OBJECTIVE_BOARDS', 'boards']]),
        form.field('simulations', 'Simulations'), form.field('level', 'Level of the interval'), form.field('lumber.seed', 'Seed'),
        form.field('pace.feed_m_per_min', 'Feed', 'feed'), form.field('pace.positioning_mm_per_s', 'Positioning', 'speed'),
        form.field('pace.handling_s', 'Handling, s per board'), form.field('pace.shift_hours', 'Hours in a shift'),
        form.check('compare', 'Also by own values and by yield alone')),
    ]);
  }

  const spread = () => [['mean_width_mm', 'Mean width'], ['width_sd_mm', 'Standard deviation'], ['min_width_mm', 'Least width'], ['max_width_mm', 'Greatest width'], ['crook_mm', 'Most crook'], ['taper_mm', 'Most taper'], ['thickness_mm', 'Thickness']]
    .map(([name, label]) => form.field(`lumber.lots[0].spread.${name}`, label, 'length'));

  function list(path, title, one, fresh, columns) {
    const rows = path.endsWith('rows') ? ask.lumber.lots[0].tagged.rows : ask.lumber.lots[0].spread.lengths;
    return h('fieldset', {}, h('legend', {}, title),
      rows.map((_, i) => h('div', { class: 'fields row' }, columns.map(([name, label, kind]) => form.field(`${path}[${i}].${name}`, label, kind)),
        button('Remove', () => { rows.splice(i, 1); build(); stale(); }, { class: 'small', 'aria-label': `Remove ${one} ${i + 1}` }))),
      button(`Add a ${one}`, () => { rows.push({ ...fresh }); build(); stale(); }, { class: 'small' }));
  }

  // stale says of an answer that it is not one to what now stands in the fields.
  function stale() {
    byID('quote-stale').hidden = !answer || asked === JSON.stringify(request());
  }

  async function go() {
    if (stop) {
      stop.abort();
      return;
    }
    const fault = byID('quote-fault'), bar = byID('quote-progress');
    fault.replaceChildren();
    if (unread(roots)) {
      fault.textContent = 'A field cannot be read; it says what to write.';
      return;
    }
    stop = new AbortController();
    byID('quote-go').textContent = 'Stop';
    bar.hidden = false;
    bar.removeAttribute('value');
    const sent = request();
    try {
      await watch('/v1/orders:watchQuote', { quote: sent }, (m) => {
        if (m.progress?.simulations) {
          bar.max = m.progress.simulations;
          bar.value = m.progress.ended ?? 0;
        }
        if (m.quote) answer = { value: m.quote, order: structuredClone(sent.order), level: sent.level || 0.9, objective: sent.objective };
      }, stop.signal);
      place([], roots);
      asked = JSON.stringify(sent);
      speak('The quote is there.');
    } catch (e) {
      if (e.name !== 'AbortError') {
        const own = (e.faults ?? []).map((f) => ({ ...f, path: f.path.replace(/^quote\./, '') }));
        const listed = place(own, roots);
        fault.replaceChildren(listed.length ? h('ul', {}, listed) : e.message);
      }
    }
    stop = null;
    bar.hidden = true;
    byID('quote-go').textContent = 'Ask for the quote';
    show();
    stale();
  }

  // A figure that is not known has no interval.
  const interval = (e, write) => e ? `${write(e.mean ?? 0)} (${write(e.lower ?? 0)} to ${write(e.upper ?? 0)})` : '–';

  function show() {
    const room = byID('quote-answer');
    if (!answer || !room.clientWidth && !room.hidden) return;
    room.hidden = false;
    const { value, order, level, objective } = answer, q = value.quote;
    const impossible = (value.impossible ?? []).map((m) => h('li', {}, `${m.item_id}: ${m.says}`));
    byID('quote-impossible').replaceChildren(...impossible.length ? [h('p', {}, 'No board expected can give these; all else leaves them out:'), h('ul', {}, impossible)] : []);
    if (!q?.boards) {
      byID('quote-charts').replaceChildren(h('p', { class: 'verdict bad' }, reasons[value.result] ?? 'There is no quote.'));
      return;
    }
    const all = [q, ...(value.others ?? []).filter((o) => o.boards)], wide = byID('quote-charts').clientWidth || room.clientWidth;
    const name = (o) => choices[o.values] ?? o.values;
    const cash = (v) => value.currency ? `${money(v)} ${value.currency}` : money(v);
    const range = (title, of, write, bound, least) => [h('h3', {}, title), rangeChart(wide, {
      least,
      label: `${title}: ${all.map((o) => `${name(o)} ${interval(of(o), write)}`).join('; ')}`, write,
      rows: all.map((o, i) => ({ name: name(o), ...pick(of(o)), mark: i === 0 ? bound : undefined })) }),
    bound === undefined ? null : h('p', { class: 'hint' }, 'The dashed line is the bound: no way to rip such boards takes less on average.')].filter((e) => e);
    byID('quote-charts').replaceChildren(
      h('p', { class: 'headline' }, h('strong', {}, (q.boards.mean ?? 0).toFixed(0)), ` boards, `, h('strong', {}, q.cost ? cash(q.cost.mean ?? 0) : 'no price'), ` for the lumber, `, h('strong', {}, percent(q.yield_ratio.mean ?? 0)), ' yield, ', h('strong', {}, hours(q.saw_hours?.mean ?? 0)), ' at the saw'),
      h('p', {}, `${reach(q.simulations, level)} From ${q.simulations} simulations${q.unfinished ? `, of which ${q.unfinished} did not fill the order` : ''}${value.ended_by === 'ENDED_BY_TIME_LIMIT' ? `; a time limit ended them early: ${value.left_undone}` : ''}.`),
      ...!q.cost ? [] : range('Cost of the lumber', (o) => o.cost, cash, objective === 'PLAN_OBJECTIVE_COST' ? value.bound : undefined),
      ...range('Boards', (o) => o.boards, (v) => v.toFixed(0), objective === 'PLAN_OBJECTIVE_BOARDS' ? value.bound : undefined, 1),
      h('h3', {}, 'Fill over boards'), fillChart(q, wide, order),
      items(q, order),
      table('By the choice of values', ['values', 'boards', 'board feet', 'cost', 'yield', 'saw hours', 'shifts'], all.map((o) => [name(o), interval(o.boards, (v) => v.toFixed(0)), interval(o.board_feet, (v) => v.toFixed(0)), interval(o.cost, cash), percent(o.yield_ratio?.mean ?? 0), interval(o.saw_hours, hours), interval(o.shifts, (v) => v.toFixed(1))])));
  }

  const hours = (v) => v < 1 ? `${(60 * v).toFixed(0)} min` : `${v.toFixed(1)} h`;

  // reach says what an interval holds: it needs so many simulations to hold what was asked.
  function reach(simulations, level) {
    const needed = Math.ceil(2 / (1 - level) - 1 - 1e-9);
    return simulations < needed ? `Intervals are what the simulations spanned; for a chance of ${percent(level)} ask for ${needed} of them.`
      : `One more simulation falls into an interval with a chance of ${percent(level)}, if the lumber comes as described.`;
  }

  const pick = (e) => ({ low: e.lower ?? 0, mean: e.mean ?? 0, high: e.upper ?? 0 });
  const itemName = (o, order) => `${letter(Math.max(order.items.findIndex((it) => it.item_id === o.item_id), 0))} ${o.item_id}${o.length_mm ? ` ${o.length_mm}` : ''}`;

  function fillChart(q, wide, order) {
    const boards = q.boards.mean ?? 0;
    return lineChart(wide, { label: `How much of each item is filled over the boards. ${(q.items ?? []).map((o) => `${o.item_id} is filled at board ${Math.round(o.filled_at_board?.mean ?? 0)}`).join(', ')}`,
      x: 'boards', y: 'filled, %', low: 0, high: 100, most: boards,
      series: (q.items ?? []).map((o) => ({ name: itemName(o, order), tint: order.items.findIndex((it) => it.item_id === o.item_id), points: [[0, 0], ...(o.fill ?? []).map((v, i, all) => [boards * (i + 1) / all.length, 100 * v])] })) });
  }

  function items(q, order) {
    const write = (o) => {
      const it = order.items.find((i) => i.item_id === o.item_id);
      if (o.length_mm || it?.required?.pieces !== undefined) return (v) => v.toFixed(0);
      return it?.range ? manyM2 : lineal;
    };
    return table('Items', ['item', 'made', 'filled at board', 'holds the order open'], (q.items ?? []).map((o) => [itemName(o, order), interval(o.made, write(o)), o.filled_at_board?.mean ? interval(o.filled_at_board, (v) => v.toFixed(0)) : 'never', percent(o.holds_open ?? 0)]));
  }

  byID('quote-go').onclick = go;
  byID('quote-request').onclick = () => showRequest({ title: 'Quote this order', path: '/v1/orders:quote', rpc: 'ripwright.v1.PlanningService/QuoteOrder', body: request(), use: null });
  onUnits(() => { build(); show(); });
  new ResizeObserver(() => show()).observe(byID('quote'));
  return { shown: () => { build(); refresh(); show(); stale(); } };
}
