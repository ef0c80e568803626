// One board: its drawing, its editors and what the service says of it.

import { h, s, byID } from './dom.js';
import { job, onJob, changed, replace, stand } from './job.js';
import { call } from './call.js';
import { Latest } from './latest.js';
import { makeFrame } from './frame.js';
import { draw } from './drawing.js';
import { Handles, mostDefects } from './handles.js';
import { onUnits, money } from './units.js';
import { place, refresh, rebuild, unread } from './form.js';
import { boardFields } from './editor-board.js';
import { orderFields, headOf } from './editor-order.js';
import { sawFields } from './editor-saw.js';
import { accountBar, compare, strips, fills, choices, verdict } from './result.js';
import { Setting } from './setting.js';
import { lying, turnOf } from './turns.js';
import { pointing } from './pointing.js';
import * as tools from './tools.js';

const roots = ['board', 'saw', 'order', 'options', 'current_setting', 'setting'];
const slow = 250; // ms after which an old plan is greyed while a new one is awaited
const later = 2000; // ms until a service that is away or busy is asked again

export class BoardView {
  answer = null; // the last one, if it is to what is asked now
  chosen = -1; // of its runners-up; -1: the best
  kept = null; // {name, plan, order} to compare with
  frame = null;

  constructor(mill, saws) {
    this.svg = byID('drawing');
    this.setting = new Setting(byID('setting'), changed, () => byID('mine').setAttribute('aria-pressed', String(this.setting.on)));
    this.handles = new Handles(this.svg, () => this.frame, { on: () => this.setting.on, move: (i, v) => this.setting.move(i, v) });
    this.latest = new Latest(() => call(this.path(), this.body()), (outcome) => this.show(outcome), (on) => this.wait(on));
    onJob((shape) => this.follow(shape));
    onUnits(() => {
      this.editors();
      this.setting.rebuild();
      this.redraw();
      this.results();
    });
    new ResizeObserver(() => this.redraw()).observe(byID('drawing-room'));
    pointing(this.svg, () => this.frame, (e) => this.handles.at(e));
    tools.comparing(this);
    tools.calls(this);
    byID('mine').onclick = () => this.turn();
    byID('reset-order').onclick = () => replace('order', mill.order);
    job.order = structuredClone(mill.order);
    tools.saws(mill, saws, () => this.setting.off());
    tools.boards(mill);
  }

  plan() {
    return this.answer && (this.chosen < 0 ? this.answer.plan : this.answer.runners_up[this.chosen]);
  }

  name() {
    return this.setting.on ? 'my setting' : this.chosen < 0 ? 'the best plan' : `runner-up ${this.chosen + 1}`;
  }

  // other is the plan to compare with: the one kept, or for a setting the best.
  other() {
    return this.kept ?? (this.setting.on && this.answer?.optimum ? { name: 'the best plan', plan: this.answer.optimum, order: job.order } : null);
  }

  path() { return this.setting.on ? '/v1/boards:check' : '/v1/boards:solve'; }

  body() {
    const every = { detail: { fills: 'ITEM_DETAIL_ALL' } }; // else only the items that the plan makes
    return this.setting.on ? { ...job, options: { ...every, turn_boards: job.options?.turn_boards }, ...this.setting.values } : { ...job, options: { ...every, ...job.options } };
  }

  // turn goes between the best plan and a setting of one's own.
  turn() {
    if (this.setting.on) this.setting.off();
    else this.setting.begin(this.plan());
    this.chosen = -1;
    changed();
  }

  follow(shape) {
    if (shape) {
      this.chosen = -1;
      this.editors();
      if (this.setting.on && this.setting.values.setting.blades_mm.length !== job.saw.blades.length) this.setting.off();
    }
    stand();
    refresh();
    document.querySelectorAll('summary[data-item]').forEach((e) => { e.textContent = headOf(job.order.items[e.dataset.item]); });
    this.redraw();
    this.ask();
  }

  editors() {
    rebuild(byID('edit-board'), boardFields);
    rebuild(byID('edit-order'), orderFields);
    rebuild(byID('edit-saw'), sawFields);
  }

  ask() {
    if (unread(roots)) this.show({ error: { message: 'A field cannot be read; it says what to write.' } }); // what stands there is not what was meant
    else this.latest.go();
  }

  wait(on) {
    clearTimeout(this.timer);
    this.svg.classList.remove('waiting');
    if (on) this.timer = setTimeout(() => this.svg.classList.add('waiting'), slow);
  }

  show({ value, took, error }) {
    this.answer = value ?? null;
    if (this.chosen >= (value?.runners_up ?? []).length) this.chosen = -1;
    const faults = error?.faults ?? value?.broken_rules ?? [];
    byID('faults').replaceChildren(...place(faults, roots));
    const told = byID('verdict');
    told.className = error || faults.length ? 'verdict bad' : 'verdict good';
    told.textContent = error ? faults.length ? 'Refused: what is wrong stands beside each field.' : error.message
      : this.setting.on ? settingSays(value, took) : verdict(value.proof, value.solve_time_us ?? 0, took);
    if ([0, 429, 503].includes(error?.status)) setTimeout(() => this.ask(), later);
    this.setting.write();
    this.redraw();
    this.results();
  }

  redraw() {
    if (!this.svg.clientWidth) return;
    const p = this.plan(), board = lying(job.board, p);
    if (!this.handles.held || !this.frame) this.frame = makeFrame(this.svg.clientWidth, Math.min(Math.max(innerHeight * 0.44, 230), 480), board, job.saw, p);
    const f = this.frame;
    byID('nothing').hidden = f !== null;
    if (f) {
      this.svg.setAttribute('viewBox', `0 0 ${f.width} ${f.height}`);
      this.svg.setAttribute('height', f.height);
      this.svg.setAttribute('aria-label', `Board ${job.board.board_id ?? ''}, to scale, ${p ? `ripped by ${this.name()}` : 'without a plan'}`);
      if (!this.svg.contains(this.handles.layer)) this.svg.append(s('g', { id: 'scene' }), this.handles.layer);
      byID('scene').replaceChildren(...draw(f, { board, saw: job.saw, order: job.order, plan: p, ghost: this.other()?.plan, plain: mostDefects }));
    } else this.svg.replaceChildren();
    this.handles.update(p);
    // Handles move the board as it was scanned, which is not how it is drawn then.
    this.handles.layer.style.display = turnOf(p) ? 'none' : '';
  }

  results() {
    const p = this.plan();
    // What is refused leaves its room free: else the field that is typed into would jump.
    byID('results').style.visibility = p ? '' : 'hidden';
    if (p) byID('results').hidden = false;
    byID('keep').disabled = !p;
    byID('picture').disabled = !p;
    byID('mine').disabled = !p && !this.setting.on;
    byID('drop').hidden = !this.kept;
    if (!p) return;
    byID('headline').replaceChildren(...headline(p, this.answer.cycle));
    byID('account').replaceChildren(...accountBar(p.account));
    byID('compare').replaceChildren(compare(this.name(), p, job.order, this.other()));
    byID('strips').replaceChildren(strips(p, job.order));
    byID('fills').replaceChildren(fills(this.answer.fills ?? [], job.order));
    byID('warnings').replaceChildren(...[
      ...(this.answer.do_not_feed ? [h('li', {}, this.answer.do_not_feed.says)] : []),
      ...(this.answer.warnings ?? []).map((w) => h('li', {}, `${w.path}: ${w.says}`)),
    ]);
    byID('choices-part').hidden = this.setting.on;
    byID('choices').replaceChildren(...this.setting.on ? [] : choices(this.answer, job.order, this.chosen, (i) => {
      this.chosen = i;
      this.redraw();
      this.results();
    }));
  }
}

function headline(p, cycle) {
  return [h('strong', {}, money(p.worth ?? 0)), ' worth, ', h('strong', {}, `${(100 * (p.account.yield_ratio ?? 0)).toFixed(1)} %`), ' yield',
    p.account.board_feet != null ? `, ${p.account.board_feet.toFixed(2)} board feet` : '',
    cycle ? `, ${cycle.total_s.toFixed(1)} s a board` : '', p.setting.skew_mm_per_m ? `, board set at ${p.setting.skew_mm_per_m} mm per m` : '',
    turnOf(p) ? `, board turned ${turnOf(p)} for ${money(p.turn_cost ?? 0)} and drawn as it then lies` : ''];
}

function settingSays(v, took) {
  if (v.broken_rules?.length) return 'Do not saw with this setting: it breaks rules.';
  const less = v.distance ?? 0;
  return `${less > 1e-9 ? `Worth ${money(less)} less than the best plan` : 'As good as the best plan'}; answered in ${took.toFixed(0)} ms.`;
}
