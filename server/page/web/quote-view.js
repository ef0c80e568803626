// What to buy: what the order takes in boards, money and hours, each with an interval,
// of which lot, and how its items fill.

import { onPaper, wide } from './paper.js';
import { h, byID, speak } from './dom.js';
import { watch } from './call.js';
import { hand, onHand } from './hand.js';
import { Form, place, rebuild, refresh, unread } from './form.js';
import { showRequest } from './request.js';
import { onUnits } from './units.js';
import { begin, fields, light, ownOf, request as requestOf, pathOf } from './quote-fields.js';
import { result } from './quote-result.js';

const roots = ['lumber', 'simulations', 'level', 'max_boards', 'objective', 'pace', 'compare', 'currency', 'stock', 'replan_every_boards', 'values', 'seed'];

export function quoteView() {
  const ask = begin();
  const form = new Form(ask, (shape) => { if (shape) build(); stale(); });
  const request = () => requestOf(ask);
  let answer = null, stop = null, asked = null;
  const again = () => { build(); stale(); };
  const build = () => rebuild(byID('quote-fields'), () => fields(ask, form, again));

  // take uses what was brought: lumber, boards that a lot lists, or all of a quote.
  function take(kind) {
    if (kind === 'boards' && !hand.lumber) Object.assign(ask, { lumber: begin().lumber, stock: [{}] });
    if (kind === 'lumber' || kind === 'work' && hand.lumber) Object.assign(ask, { lumber: { seed: 1, ...structuredClone(hand.lumber) }, stock: hand.lumber.lots.map(() => ({})) });
    if (kind === 'work' && Array.isArray(hand.quote?.lumber?.lots)) {
      for (const name of Object.keys(ask)) delete ask[name];
      Object.assign(ask, begin(), ownOf(hand.quote));
      ask.stock = ask.lumber.lots.map((_, i) => ask.stock?.[i] ?? {});
    }
    if (kind === 'saws') ask.pace = { shift_hours: ask.pace?.shift_hours }; // the rest is as the saw says
    again();
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
    const fault = byID('quote-fault'), bar = byID('quote-progress'), count = byID('quote-count');
    fault.replaceChildren();
    if (unread(roots)) {
      fault.textContent = 'A field cannot be read; see the note beside it.';
      return;
    }
    stop = new AbortController();
    byID('quote-go').textContent = 'Stop';
    bar.hidden = count.hidden = false;
    count.textContent = 'planning';
    bar.removeAttribute('value');
    const sent = request();
    try {
      await watch('/v1/orders:watchQuote', { quote: sent }, (m) => {
        if (m.progress?.simulations) {
          bar.max = m.progress.simulations;
          bar.value = m.progress.ended ?? 0;
          count.textContent = `${m.progress.ended ?? 0} of ${m.progress.simulations} simulations`;
        }
        if (m.quote) answer = { value: m.quote, order: structuredClone(sent.order), saw: sent.saw.name, level: sent.level || 0.9, objective: sent.objective };
      }, stop.signal);
      place([], roots);
      asked = JSON.stringify(sent);
      speak('The quote is ready.');
    } catch (e) {
      if (e.name !== 'AbortError') {
        const listed = place((e.faults ?? []).map((f) => ({ ...f, path: pathOf(f.path, ask) })), roots);
        fault.replaceChildren(listed.length ? h('ul', {}, listed) : e.message);
      }
    }
    stop = null;
    bar.hidden = count.hidden = true;
    byID('quote-go').textContent = 'Ask for the quote';
    show();
    stale();
  }

  function show() {
    const room = byID('quote-answer');
    if (!answer || !room.clientWidth && !room.hidden) return;
    room.hidden = false;
    byID('quote-print').disabled = false;
    byID('quote-charts').replaceChildren(...result(answer, wide(byID('quote-charts')) || wide(room)));
  }

  byID('quote-go').onclick = go;
  byID('quote-print').onclick = () => print();
  byID('quote-request').onclick = () => showRequest({ title: 'Quote this order', path: '/v1/orders:quote', rpc: 'ripwright.v1.PlanningService/QuoteOrder', body: request(), use: null });
  onUnits(() => { build(); show(); });
  onPaper(show);
  onHand(take);
  hand.asked = () => light(ask); // so that it goes with what is saved
  take('work');
  new ResizeObserver(() => show()).observe(byID('quote'));
  return { shown: () => { build(); refresh(); show(); stale(); } };
}
