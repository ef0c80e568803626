// The whole order: it is run over the same boards in two ways side by side, by other
// values or on another saw, and what one saves against the other is said in large.

import { onPaper, wide } from './paper.js';
import { h, byID, speak } from './dom.js';
import { job, onJob } from './job.js';
import { hand, onHand, boardsName } from './hand.js';
import { Run } from './order-run.js';
import { packFields, ways } from './pack-fields.js';
import { saving, figures, endings, accounts, yields, lastBoard } from './pack-result.js';
import { multiples } from './multiples.js';
import { onUnits, percent } from './units.js';
import { place, unread } from './form.js';
import { boardFaults } from './refuse.js';
import { readable } from './path-words.js';

const mostNamed = 4; // boards that are left out

export function packView(mill) {
  const ask = { ways: [{ values: 'planned', saw: '' }, { values: 'own', saw: '' }], price_per_mbf: 4200, currency: '', every: 25 };
  let runs = [], kept = null, going = null;

  const named = () => [...hand.saws, ...mill.saws];
  const fields = packFields(ask, { saws: named, kept: () => kept, changed: () => over() });

  let left = []; // boards that a saw does not take: {saw, board, says}

  // fitting gives the boards that a saw takes, and notes the others. A saw that has a
  // fault of its own is told of when the run begins.
  function fitting(saw) {
    return hand.boards.filter((board) => {
      const [fault] = boardFaults(board, saw);
      if (fault && !left.some((l) => l.board === board.board_id && l.saw === saw.name)) left.push({ saw: saw.name, board: board.board_id, says: `${readable(fault.path.replace(/^board\.?/, ''))} ${fault.says}` });
      return !fault;
    });
  }

  // leftOut says which boards take no part.
  const leftOut = () => left.length === 0 ? '' : ` Left out: ${left.slice(0, mostNamed).map((l) => `${l.board}, whose ${l.says}`).join('; ')}${left.length > mostNamed ? `; and ${left.length - mostNamed} more` : ''}.`;

  // refused shows what is wrong, beside the fields of the order and of the saw set up.
  function refused(e) {
    if (e.name === 'AbortError') return;
    const listed = place((e.faults ?? []).map((f) => /price_per_mbf$/.test(f.path) ? { ...f, path: 'pack.price_per_mbf' } : f).filter((f) => !/^lumber/.test(f.path)), ['order', 'pack', ...runs.every((r) => r.saw.name === job.saw.name) ? ['saw'] : []]);
    byID('pack-fault').replaceChildren(listed.length ? h('ul', {}, listed) : e.faults?.[0] ? `${readable(e.faults[0].path)} ${e.faults[0].says}` : e.message);
  }

  // fresh makes the two runs anew, or takes the one kept.
  function fresh() {
    left = [];
    runs = ask.ways.map((w, k) => {
      if (w.values === 'kept' && kept) return kept;
      const saw = named().find((s) => s.name === w.saw) ?? job.saw;
      return new Run({ name: ways(ask, k, saw), values: w.values, order: job.order, saw, boards: fitting(saw), price: ask.price_per_mbf, every: ask.every });
    });
    if (runs[0].name === runs[1].name) runs[1].name = `${runs[1].name}, again`;
  }

  const over = () => {
    going?.abort();
    going = null;
    fresh();
    byID('pack-fault').textContent = '';
    set();
    show();
  };

  // go takes both runs on, board by board, so that they can be watched against each
  // other.
  async function go(boards = Infinity) {
    const own = going = new AbortController(), mine = runs;
    let drawn = -Infinity; // when all was last shown: not for every board, which would take longer than to rip it
    byID('pack-fault').textContent = '';
    if (unread(['order', 'pack', 'saw'])) return void (going = null, byID('pack-fault').textContent = 'A field cannot be read; see the note beside it.');
    if (!(Number.isInteger(ask.every ?? 0) && ask.every >= 0)) return void (going = null, refused({ faults: [{ path: 'pack.every', says: 'must be a whole number, at least 0 (never)' }] }));
    set();
    try {
      byID('pack-end').textContent = mine[0].plans ? '' : 'Planning values for the order…';
      for (let n = 0; n < boards && going === own; n++) {
        const began = performance.now();
        await Promise.all(mine.map((r) => r.step(own.signal)));
        if (going !== own) return;
        if (began - drawn > 100) {
          drawn = began;
          show();
        }
        if (mine.every((r) => r.done)) break;
        const pause = 60000 / Number(byID('pace').value) - (performance.now() - began);
        if (n + 1 < boards) await new Promise((resume) => { setTimeout(resume, Math.max(pause, 0)); });
      }
    } catch (e) {
      refused(e);
    }
    if (going !== own) return;
    going = null;
    set();
    show();
    speak(runs.map((r) => `${r.name}: ${r.at} boards, yield ${percent(r.yield())}`).join('; '));
  }

  const finished = () => runs.every((r) => r.done);

  function set() {
    byID('pack-go').textContent = going ? 'Pause' : runs[0].at === 0 ? 'Run the order' : 'Continue';
    byID('pack-go').disabled = !going && (finished() || runs.some((r) => r.boards.length === 0));
    byID('pack-one').disabled = Boolean(going) || finished();
    byID('pack-keep').disabled = Boolean(going) || !runs[0].done;
  }

  function show() {
    const any = runs.some((r) => r.at > 0);
    byID('pack-what').replaceChildren('Order ', h('strong', {}, job.order.order_id || 'without a name'), ` over ${boardsName()}, `,
      'with nothing made yet. The boards are repeated until the order is filled.', leftOut());
    byID('pack-answer').hidden = !any;
    byID('pack-end').replaceChildren(...endings(runs));
    byID('pack-saving').replaceChildren(...finished() ? saving(runs, ask.currency) : []);
    if (!any || byID('pack').hidden) return;
    const boards = Math.max(...runs.map((r) => r.at));
    byID('pack-facts').replaceChildren(figures(runs, ask.currency));
    byID('pack-fills').replaceChildren(...multiples(runs[0].order, runs, boards));
    byID('pack-chart').replaceChildren(yields(runs, wide(byID('pack-chart')), boards));
    byID('pack-account').replaceChildren(...accounts(runs));
    if (byID('pack-last').open) lastBoard(byID('pack-drawing'), runs[0].last);
  }

  byID('pack-go').onclick = () => {
    if (!going) return void go();
    going = null;
    set();
  };
  byID('pack-one').onclick = () => go(1);
  byID('pack-over').onclick = over;
  byID('pack-print').onclick = () => print();
  byID('pack-keep').onclick = () => {
    kept = runs[0];
    kept.name = `kept: ${kept.name.replace(/^kept: /, '')}`;
    ask.ways[1].values = 'kept';
    fields.build();
    over();
    speak('The run is kept and shown on the right.');
  };
  byID('pack-last').ontoggle = () => lastBoard(byID('pack-drawing'), runs[0]?.last);
  onUnits(() => { if (runs.length) { fields.build(); show(); } });
  onPaper(() => { if (runs.length) show(); });
  // Runs of what has changed since would be of something else.
  let stale = true;
  onJob(() => { stale = true; });
  onHand(() => { stale = true; if (!byID('pack').hidden) shown(); });
  new ResizeObserver(() => { if (runs.length && !going) show(); }).observe(byID('pack-chart'));

  let before = '';
  function shown() {
    const now = JSON.stringify([job.order, job.saw, hand.own, hand.boards.length]);
    if (stale && now !== before) {
      before = now;
      fields.build();
      over();
    }
    stale = false;
    set();
    show();
  }
  return { shown };
}
