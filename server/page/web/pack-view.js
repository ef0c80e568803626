// A pack: the demo's boards come one after the other, and yield and fill grow. What
// is made travels from answer to answer with the order, and fence and blades start
// where the board before left them, as on a line.

import { h, s, byID, speak } from './dom.js';
import { call } from './call.js';
import { job } from './job.js';
import { makeFrame } from './frame.js';
import { draw } from './drawing.js';
import { lineChart } from './chart.js';
import { accountBar, fills } from './result.js';
import { manyM2, money, percent, onUnits } from './units.js';

const parts = ['face', 'strip', 'end_trim', 'offcut', 'edging', 'kerf'];

export function packView(mill) {
  let run = fresh(), going = false, kept = null, last = null, turn = 0;

  function fresh() {
    const order = structuredClone(job.order), saw = structuredClone(job.saw);
    for (const it of order.items ?? []) {
      delete it.made;
      it.crosscut?.lengths?.forEach((l) => { delete l.made; });
    }
    return { order, saw, stands: structuredClone(job.current_setting), at: 0, sum: Object.fromEntries(parts.map((p) => [`${p}_m2`, 0])), worth: 0, feet: 0, proven: 0, times: [], each: [], mean: [] };
  }

  const filled = (v) => v.fills.length > 0 && v.fills.every((f) => f.required && (f.open?.length_m ?? f.open?.area_m2 ?? f.open?.pieces ?? 0) <= 0);

  async function step() {
    const mine = run, board = mill.boards[mine.at];
    const { value } = await call('/v1/boards:solve', { board, saw: mine.saw, current_setting: mine.stands, order: mine.order, options: { detail: { fills: 'ITEM_DETAIL_ALL' } } });
    if (mine !== run) return false; // started over meanwhile
    const account = value.plan.account;
    for (const p of parts) mine.sum[`${p}_m2`] += account[`${p}_m2`] ?? 0;
    mine.worth += value.plan.worth ?? 0;
    mine.feet += account.board_feet ?? 0;
    mine.proven += value.proof.proven ? 1 : 0;
    mine.times.push(value.solve_time_us ?? 0);
    mine.at++;
    mine.each.push([mine.at, 100 * (account.yield_ratio ?? 0)]);
    mine.mean.push([mine.at, 100 * mine.sum.strip_m2 / mine.sum.face_m2]);
    const planned = structuredClone(mine.order);
    value.fills.forEach((f, i) => {
      mine.order.items[i].made = f.made_after;
      f.lengths?.forEach((l, k) => { mine.order.items[i].crosscut.lengths[k].made = l.made_after; });
    });
    mine.stands = value.plan.setting;
    last = { board, saw: mine.saw, order: planned, plan: value.plan, fills: value.fills };
    mine.done = mine.at === mill.boards.length || filled(value);
    return !mine.done;
  }

  async function go(boards = Infinity) {
    const own = ++turn;
    set(true);
    byID('pack-fault').textContent = '';
    try {
      for (let n = 0; n < boards && own === turn; n++) {
        const began = performance.now(), more = await step();
        show();
        if (!more) break;
        const pause = 60000 / Number(byID('pace').value) - (performance.now() - began);
        if (n + 1 < boards && pause > 1) await new Promise((resume) => { setTimeout(resume, pause); });
      }
    } catch (e) {
      byID('pack-fault').textContent = e.faults?.length ? `Board ${mill.boards[run.at].board_id} was refused: ${e.message}` : e.message;
    }
    if (own === turn) set(false);
  }

  function set(on) {
    going = on;
    byID('pack-go').textContent = on ? 'Pause' : run.at === 0 ? 'Run the pack' : 'Go on';
    byID('pack-go').disabled = !on && run.done === true;
    byID('pack-one').disabled = on || run.done === true;
    if (!on && run.at > 0) speak(`${run.at} boards, yield ${percent(run.sum.strip_m2 / run.sum.face_m2)}`);
  }

  function show() {
    byID('pack-keep').disabled = run.at === 0;
    byID('pack-drop').hidden = !kept;
    const sorted = [...run.times].sort((a, b) => a - b), at = (q) => sorted.length ? (sorted[Math.floor(q * (sorted.length - 1))] / 1000).toFixed(2) : '–';
    const facts = [['Saw', run.saw.name ?? ''], ['Boards', `${run.at} of ${mill.boards.length}`], ['Yield', run.at ? percent(run.sum.strip_m2 / run.sum.face_m2) : '–'],
      ['Worth', money(run.worth)], ['Face', manyM2(run.sum.face_m2)], ['Board feet', run.feet.toFixed(0)], ['Proven', `${run.proven} of ${run.at}`], ['Search, median and 99 %', `${at(0.5)} and ${at(0.99)} ms`]];
    byID('pack-facts').replaceChildren(...facts.map(([k, v]) => h('div', {}, h('dt', {}, k), h('dd', {}, v))));
    byID('pack-end').textContent = run.done ? run.at === mill.boards.length ? 'The pack is through.' : 'The order is filled.' : '';
    byID('pack-account').replaceChildren(...run.at ? accountBar(run.sum) : []);
    byID('pack-fills').replaceChildren(last ? fills(last.fills, run.order) : '');
    chart();
    scene();
  }

  function chart() {
    const room = byID('pack-chart');
    if (!room.clientWidth) return;
    const series = [{ name: '', dots: true, tint: 0, points: run.each }];
    if (kept) series.push({ name: `kept: ${kept.name}`, ghost: true, tint: 1, points: kept.mean });
    series.push({ name: 'so far', tint: 0, points: run.mean });
    const now = run.mean.at(-1)?.[1];
    room.replaceChildren(lineChart(room.clientWidth, { label: now === undefined ? 'Yield: no board yet' : `Yield after ${run.at} boards: ${now.toFixed(1)} per cent${kept ? `; of the run kept ${kept.mean.at(-1)[1].toFixed(1)}` : ''}`,
      x: 'boards (each dot is one board)', y: 'yield, %', low: 0, high: 100, most: mill.boards.length, series }));
  }

  function scene() {
    const svg = byID('pack-drawing');
    if (!svg.clientWidth || !last) return;
    const f = makeFrame(svg.clientWidth, Math.min(Math.max(innerHeight * 0.32, 190), 320), last.board, last.saw, last.plan);
    svg.setAttribute('viewBox', `0 0 ${f.width} ${f.height}`);
    svg.setAttribute('height', f.height);
    svg.setAttribute('aria-label', `Board ${last.board.board_id}, ripped`);
    svg.replaceChildren(s('g', {}, ...draw(f, last)));
  }

  const over = () => {
    turn++;
    run = fresh();
    last = null;
    byID('pack-drawing').replaceChildren();
    byID('pack-fault').textContent = '';
    set(false);
    show();
  };
  byID('pack-go').onclick = () => {
    if (!going) return void go();
    turn++;
    set(false);
  };
  byID('pack-one').onclick = () => go(1);
  byID('pack-over').onclick = over;
  byID('pack-keep').onclick = () => {
    kept = { name: run.saw.name ?? 'a saw', mean: [...run.mean] };
    show();
    speak('The run is kept for comparison.');
  };
  byID('pack-drop').onclick = () => { kept = null; show(); };
  onUnits(() => show());
  new ResizeObserver(() => { chart(); scene(); }).observe(byID('pack-chart'));
  return {
    // shown takes the saw and order under work as long as nothing has been run.
    shown: () => { if (run.at === 0) run = fresh(); set(going); show(); },
  };
}
