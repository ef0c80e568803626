// One board: its drawing, its editors and what the service says of it.

import { h, s, byID, button, speak } from './dom.js';
import { job, onJob, changed, replace } from './job.js';
import { call } from './call.js';
import { Latest } from './latest.js';
import { makeFrame } from './frame.js';
import { draw } from './drawing.js';
import { Handles } from './handles.js';
import { onUnits, money } from './units.js';
import { place, refresh, rebuild, unread, focusField } from './form.js';
import { boardFields, addDefect } from './editor-board.js';
import { orderFields, headOf } from './editor-order.js';
import { sawFields } from './editor-saw.js';
import { accountBar, compare, strips, fills, choices, verdict } from './result.js';
import { Setting } from './setting.js';
import { showRequest } from './request.js';

const roots = ['board', 'saw', 'order', 'options', 'fence_mm', 'blades_mm', 'skew_mm_per_m'];

export function boardView(mill, saws) {
  const svg = byID('drawing'), told = byID('verdict');
  let frame = null, answer = null, chosen = -1, kept = null, number = 1, pointing = false;

  const setting = new Setting(byID('setting'), changed);
  const handles = new Handles(svg, () => frame, { on: () => setting.on, move: (i, v) => setting.move(i, v) });
  const plan = () => !answer ? null : chosen < 0 ? answer.plan : answer.runners_up[chosen];
  const name = () => setting.on ? 'my setting' : chosen < 0 ? 'the best plan' : `runner-up ${chosen + 1}`;
  const other = () => kept ?? (setting.on && answer?.optimum ? { name: 'the best plan', plan: answer.optimum, order: job.order } : null);

  function redraw() {
    if (!svg.clientWidth) return;
    const p = plan();
    if (!handles.held || !frame) frame = makeFrame(svg.clientWidth, Math.min(Math.max(innerHeight * 0.44, 230), 480), job.board, job.saw, p);
    byID('nothing').hidden = frame !== null;
    if (!frame) {
      svg.replaceChildren();
      handles.update(null);
      return;
    }
    svg.setAttribute('viewBox', `0 0 ${frame.width} ${frame.height}`);
    svg.setAttribute('height', frame.height);
    svg.setAttribute('aria-label', `Board ${job.board.board_id ?? ''}, to scale, ${p ? `ripped by ${name()}` : 'without a plan'}`);
    if (!svg.contains(handles.layer)) svg.append(s('g', { id: 'scene' }), handles.layer);
    handles.update(p);
    byID('scene').replaceChildren(...draw(frame, { board: job.board, saw: job.saw, order: job.order, plan: p, ghost: other()?.plan }));
  }

  const body = () => setting.on ? { ...job, options: {}, ...setting.values } : job;
  const latest = new Latest(() => call(setting.on ? '/v1/boards:check' : '/v1/boards:solve', body()), show, (on) => {
    clearTimeout(latest.timer);
    if (on) latest.timer = setTimeout(() => svg.classList.add('waiting'), 250);
    else svg.classList.remove('waiting');
  });

  function ask() {
    if (unread(roots)) { // what stands there is not what was meant
      show({ error: { message: 'A field cannot be read; it says what to write.', faults: [] } });
      return;
    }
    latest.go();
  }

  function show({ value, took, error }) {
    byID('faults').replaceChildren();
    if (error) {
      answer = null;
      told.className = 'verdict bad';
      told.textContent = error.faults?.length ? 'Refused: what is wrong stands beside each field.' : error.message;
      byID('faults').replaceChildren(...place(error.faults ?? [], roots));
      if ([0, 429, 503].includes(error.status)) setTimeout(ask, 2000);
    } else {
      place([], roots);
      answer = value;
      if (chosen >= (value.runners_up ?? []).length) chosen = -1;
      told.className = 'verdict good';
      told.textContent = setting.on ? settingSays(value, took) : verdict(value.proof, value.solve_time_us ?? 0, took);
      if (setting.on && value.broken_rules?.length) {
        told.className = 'verdict bad';
        byID('faults').replaceChildren(...place(value.broken_rules, roots));
      }
      setting.follow(value.plan);
    }
    redraw();
    results();
  }

  function settingSays(v, took) {
    if (v.broken_rules?.length) return 'Do not saw with this setting: it breaks rules.';
    const less = v.distance ?? 0;
    return `${less > 1e-9 ? `Worth ${money(less)} less than the best plan` : 'As good as the best plan'}; answered in ${took.toFixed(0)} ms.`;
  }

  function results() {
    const p = plan();
    // What is refused leaves its room free: else the field that is typed into would jump.
    byID('results').style.visibility = p ? '' : 'hidden';
    if (p) byID('results').hidden = false;
    byID('keep').disabled = !p;
    byID('picture').disabled = !p;
    byID('mine').disabled = !p && !setting.on;
    byID('drop').hidden = !kept;
    if (!p) return;
    byID('headline').replaceChildren(h('strong', {}, money(p.worth ?? 0)), ' worth, ', h('strong', {}, `${(100 * (p.account.yield ?? 0)).toFixed(1)} %`), ' yield',
      p.account.board_feet != null ? `, ${p.account.board_feet.toFixed(2)} board feet` : '',
      answer.cycle ? `, ${answer.cycle.total_s.toFixed(1)} s a board` : '', p.skew_mm_per_m ? `, board set at ${p.skew_mm_per_m} mm per m` : '');
    byID('account').replaceChildren(...accountBar(p.account));
    byID('compare').replaceChildren(compare(name(), p, job.order, other()));
    byID('strips').replaceChildren(strips(p, job.order));
    byID('fills').replaceChildren(fills(answer.fills ?? [], job.order));
    byID('choices').replaceChildren(...setting.on ? [] : choices(answer, job.order, chosen, (i) => { chosen = i; redraw(); results(); }));
    byID('choices-part').hidden = setting.on;
    byID('warnings').replaceChildren(...(answer.warnings ?? []).map((w) => h('li', {}, `${w.path}: ${w.says}`)));
  }

  function editors() {
    rebuild(byID('edit-board'), boardFields);
    rebuild(byID('edit-order'), orderFields);
    rebuild(byID('edit-saw'), sawFields);
  }

  onJob((shape) => {
    if (shape) {
      chosen = -1;
      editors();
    }
    refresh();
    document.querySelectorAll('summary[data-item]').forEach((e) => { e.textContent = headOf(job.order.items[e.dataset.item]); });
    if (shape && setting.on && setting.values.blades_mm.length !== job.saw.blades.length) setting.off();
    redraw();
    ask();
  });
  onUnits(() => { editors(); setting.rebuild(); redraw(); if (answer) results(); });
  new ResizeObserver(redraw).observe(byID('drawing-room'));

  const boardSelect = byID('which-board');
  boardSelect.append(...mill.boards.map((b) => h('option', { value: b.board_id }, b.board_id)));
  const take = (i) => {
    number = (i + mill.boards.length) % mill.boards.length;
    boardSelect.value = mill.boards[number].board_id;
    replace('board', mill.boards[number]);
  };
  boardSelect.onchange = () => take(boardSelect.selectedIndex);
  byID('board-before').onclick = () => take(number - 1);
  byID('board-next').onclick = () => take(number + 1);

  const all = [...saws.map((v) => ['this service', v]), ...mill.saws.map((v) => ['demo mill', v])];
  const sawSelect = byID('which-saw');
  sawSelect.append(...all.map(([where, v], i) => h('option', { value: i }, `${v.name} (${where})`)));
  sawSelect.onchange = () => { setting.off(); replace('saw', all[sawSelect.value][1]); };
  byID('reset-order').onclick = () => replace('order', mill.order);

  byID('keep').onclick = () => {
    kept = { name: 'kept', plan: structuredClone(plan()), order: structuredClone(job.order) };
    speak('The plan is kept. Tables now compare with it.');
    redraw();
    results();
  };
  byID('drop').onclick = () => { kept = null; redraw(); results(); };
  byID('mine').onclick = () => {
    if (setting.on) setting.off();
    else if (plan()) setting.begin(plan());
    byID('mine').setAttribute('aria-pressed', String(setting.on));
    chosen = -1;
    changed();
  };
  setting.ended = () => byID('mine').setAttribute('aria-pressed', 'false');
  byID('request').onclick = () => showRequest({
    title: setting.on ? 'Check this setting' : 'Rip this board', path: setting.on ? '/v1/boards:check' : '/v1/boards:solve',
    rpc: `ripwright.v1.RipService/${setting.on ? 'CheckPlan' : 'SolveBoard'}`, body: body(),
    use: setting.on ? null : (given) => { Object.assign(job, { board: given.board ?? {}, saw: given.saw ?? {}, order: { items: [], ...given.order }, options: given.options ?? {} }); changed(true); },
  });
  byID('picture').onclick = async () => {
    try {
      const drawn = await call('/v1/boards:draw', { board: job.board, saw: job.saw, order: job.order, ...plan() && { setting: { fence_mm: plan().fence_mm, blades_mm: plan().blades_mm, skew_mm_per_m: plan().skew_mm_per_m } } });
      h('a', { href: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(drawn.value.svg)}`, download: `${job.board.board_id || 'board'}.svg` }).click();
    } catch (e) { show({ error: e }); }
  };

  // A defect is added where the wood is pointed at, or by keys in its middle.
  const add = byID('add-defect');
  const point = (on) => {
    pointing = on;
    add.setAttribute('aria-pressed', String(on));
    svg.classList.toggle('pointing', on);
  };
  const added = (i) => {
    changed(true);
    svg.querySelector(`[data-key=defect${i}]`)?.focus();
    speak(`Defect ${i + 1} added. Arrows move it, with Shift they change its size.`);
  };
  add.onclick = (e) => {
    if (e.detail === 0) added(addDefect()); // by a key
    else point(!pointing);
  };
  svg.addEventListener('pointerdown', (e) => {
    if (!pointing || !frame || e.button !== 0) return;
    e.preventDefault();
    const at = handles.at(e);
    point(false);
    if (at.x >= 0 && at.x <= frame.length) added(addDefect(at.x, at.y - frame.off(at.x)));
  }, { capture: true });

  take(1);
  sawSelect.value = all.findIndex(([, v]) => v === mill.saws[1]);
  Object.assign(job, { saw: structuredClone(mill.saws[1]), order: structuredClone(mill.order) });
  changed(true);
  return { redraw, takeBoard: (b) => { const i = mill.boards.findIndex((m) => m.board_id === b.board_id); take(i); }, focusField, button };
}
