// One board: its drawing, its editors and what the service says of it.

import { h, s, byID } from './dom.js';
import { job, onJob, changed, replace, stand } from './job.js';
import { call } from './call.js';
import { Latest } from './latest.js';
import { makeFrame } from './frame.js';
import { draw } from './drawing.js';
import { Handles, mostDefects } from './handles.js';
import { onUnits } from './units.js';
import { place, refresh, rebuild, unread } from './form.js';
import { boardFields } from './editor-board.js';
import { orderFields } from './editor-order.js';
import { sawFields } from './editor-saw.js';
import { Setting } from './setting.js';
import { lying, turnOf } from './turns.js';
import { pointing } from './pointing.js';
import { faultsOf } from './refuse.js';
import { judge } from './verdict.js';
import { showPlan } from './plan-view.js';
import { Boards } from './boards.js';
import { History } from './history.js';
import { work } from './kept.js';
import { Why } from './why.js';
import { FenceWorth } from './fence-worth.js';
import { hand, onHand } from './hand.js';
import * as tools from './tools.js';

const roots = ['board', 'saw', 'order', 'options', 'current_setting', 'setting'];
const later = 2000; // ms until a service that is away or busy is asked again
const pause = 400; // ms without a change after which what is under work is kept

export class BoardView {
  answer = null; // the last one; stale while another is awaited
  said = null; // the outcome that the verdict is about; null: it is awaited
  chosen = -1; // of its runners-up; -1: the best; -2: the plan that was tried
  tried = null; // {name, plan}: a plan that answers a question
  kept = null; // {name, plan, order} to compare with
  frame = null;

  constructor(mill, saws) {
    this.svg = byID('drawing');
    this.setting = new Setting(byID('setting'), changed, () => byID('mine').setAttribute('aria-pressed', String(this.setting.on)));
    this.handles = new Handles(this.svg, () => this.frame, { on: () => this.setting.on, move: (i, v) => this.setting.move(i, v) });
    this.latest = new Latest(() => call(this.path(), this.body()), (outcome) => this.show(outcome));
    job.order = structuredClone(mill.order);
    tools.saws(mill, saws, () => this.setting.off());
    this.boards = new Boards(mill.boards);
    this.boards.go(1);
    this.resume(work.get());
    onHand((kind) => this.brought(kind));
    onJob((shape) => this.follow(shape));
    onUnits(() => {
      this.editors();
      this.setting.rebuild();
      this.redraw();
      this.results();
    });
    new ResizeObserver(() => this.redraw()).observe(byID('drawing-room'));
    pointing(this.svg, () => this.frame, (e) => this.handles.at(e));
    this.questions = [new Why(this), new FenceWorth(this)]; // what more can be asked of the board
    tools.comparing(this);
    tools.calls(this);
    this.history = new History(() => this.state(), (state) => this.take(state), (undo, redo) => {
      byID('undo').disabled = !undo;
      byID('redo').disabled = !redo;
    });
    tools.undoing(this.history);
    byID('mine').onclick = () => this.turn();
    byID('reset-order').onclick = () => replace('order', mill.order);
    addEventListener('pagehide', () => this.save());
    changed(true);
  }

  // brought goes on with boards that were brought, or with work that holds a board.
  brought(kind) {
    if (kind === 'boards') this.boards.use(hand.boards);
    if (kind !== 'work') return;
    const board = job.board, at = Math.max(hand.boards.findIndex((b) => b.board_id === board.board_id), 0);
    this.boards.use(hand.boards, at);
    replace('board', board);
  }

  // state is all that undoing brings back.
  state() {
    const { board, saw, current_setting, order, options } = job;
    return { at: this.boards.at, board, saw, current_setting, order, options, setting: this.setting.on ? this.setting.values.setting : null };
  }

  take({ at, setting, ...parts }) {
    this.boards.keep();
    this.boards.at = at;
    Object.assign(job, parts);
    if (setting) this.setting.begin({ setting });
    else this.setting.off();
    changed(true);
  }

  save() {
    work.set({ ...this.state(), list: this.boards.list.map((b) => b.board_id).join(), edited: this.boards.edited });
  }

  // resume goes on with what a reload of the page interrupted.
  resume(was) {
    const lists = [was?.board?.stations, was?.saw?.blades, was?.order?.items];
    if (!lists.every((l) => Array.isArray(l) && l.every((e) => e && typeof e === 'object')) || !(was.at in this.boards.list) || was.list !== this.boards.list.map((b) => b.board_id).join()) return;
    this.boards.edited = was.edited ?? {};
    this.boards.at = was.at;
    Object.assign(job, { board: was.board, saw: was.saw, current_setting: was.current_setting ?? {}, order: was.order, options: was.options ?? {} });
    if (was.setting) this.setting.begin({ setting: was.setting });
  }

  plan() {
    if (this.chosen === -2) return this.tried?.plan;
    return this.answer && (this.chosen < 0 ? this.answer.plan : this.answer.runners_up[this.chosen]);
  }

  name() {
    return this.chosen === -2 ? this.tried.name : this.setting.on ? 'my setting' : this.chosen < 0 ? 'the best plan' : `runner-up ${this.chosen + 1}`;
  }

  // other is the plan to compare with: the one kept, or for others than the best the best.
  other() {
    const best = this.setting.on ? this.answer?.optimum : this.chosen === -1 ? null : this.answer?.plan;
    return this.kept ?? (best ? { name: 'the best plan', plan: best, order: job.order } : null);
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
    this.answer = null;
    changed();
  }

  follow(shape) {
    if (this.chosen === -2 || shape) this.chosen = -1;
    this.tried = null;
    if (shape) {
      this.answer = null; // the wood may be another board's
      this.editors();
      if (this.setting.on && this.setting.values.setting.blades_mm.length !== job.saw.blades.length) this.setting.off();
    }
    stand();
    refresh();
    this.boards.mark();
    const focus = document.activeElement;
    this.history.note(shape ? null : focus?.dataset.path ?? focus?.dataset.key ?? focus?.id ?? '');
    clearTimeout(this.saving);
    this.saving = setTimeout(() => this.save(), pause);
    this.ask();
    this.redraw();
  }

  editors() {
    rebuild(byID('edit-board'), boardFields);
    rebuild(byID('edit-order'), orderFields);
    rebuild(byID('edit-saw'), sawFields);
  }

  // ask lets nothing old stand for what is asked now, and sends nothing that has to be
  // refused.
  ask() {
    clearTimeout(this.again);
    this.said = null;
    this.tell();
    this.questions.forEach((q) => q.stale());
    if (unread(roots)) return this.settle({ message: 'A field cannot be read; see the note beside it.' }); // what stands there is not what was meant
    const faults = faultsOf(this.body(), this.setting.on ? 'CheckPlanRequest' : 'SolveBoardRequest');
    if (faults.length) return this.settle({ message: '', faults });
    this.latest.go();
  }

  // settle ends a question that is not sent.
  settle(error) {
    this.latest.drop();
    this.show({ error });
  }

  // tell shows the verdict, or that it is awaited.
  tell() {
    const told = byID('verdict'), waits = !this.said;
    byID('board').classList.toggle('stale', waits);
    told.setAttribute('aria-busy', String(waits));
    // What is stale is neither kept nor begun with.
    for (const id of ['keep', 'picture']) byID(id).disabled = waits || !this.plan();
    byID('mine').disabled = !this.setting.on && byID('keep').disabled;
    const { kind, text } = waits ? { kind: '', text: 'Solving…' } : judge({ ...this.said, setting: this.setting.on, board: lying(job.board, this.plan()), plan: this.plan() });
    told.className = `verdict ${kind}`;
    told.textContent = text;
  }

  show({ value, took, error }) {
    this.answer = value ?? null;
    if (this.chosen >= (value?.runners_up ?? []).length) this.chosen = -1;
    this.said = { value, took, error, faults: error?.faults ?? value?.broken_rules ?? [] };
    byID('faults').replaceChildren(...place(this.said.faults, roots));
    if ([0, 429, 503].includes(error?.status)) this.again = setTimeout(() => this.ask(), later);
    this.setting.write();
    this.redraw();
    this.results();
  }

  choose(i, tried = null) {
    this.chosen = i;
    this.tried = tried;
    this.redraw();
    this.results();
    if (tried) byID('verdict').scrollIntoView({ block: 'nearest' });
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
    this.tell();
    // What is refused leaves its room free: else the field that is typed into would jump.
    for (const part of document.querySelectorAll('#board .told')) {
      part.style.visibility = p ? '' : 'hidden';
      if (p) part.hidden = false;
    }
    byID('drop').hidden = !this.kept;
    if (p) showPlan(this, p);
    this.questions.forEach((q) => q.fill());
  }
}
