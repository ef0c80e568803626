// What the board is worth with the fence held at one place after another: at each the
// service searches for the best plan. So people see how much a place costs that is easier
// to set, and how sharply the best one stands out.

import { h, s, byID, button } from './dom.js';
import { call } from './call.js';
import { job } from './job.js';
import { steps } from './chart.js';
import { ticks } from './frame.js';
import { money, onUnits, units, width } from './units.js';
import { readable } from './path-words.js';

const spread = 33, beside = 3; // places over the whole travel, and steps beside the best on each side
const mostTime = 300; // ms of search at each
const mmSteps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000], inchSteps = [0.125, 0.25, 0.5, 1, 2, 4, 8, 16, 32].map((v) => v * 25.4);

// places gives where the fence is held, in mm, in rising order.
export function places(fence, step, best) {
  const low = Math.ceil((fence.min_mm ?? 0) / step - 1e-6), high = Math.floor((fence.max_mm ?? 0) / step + 1e-6), at = Math.round(best / step);
  const all = new Set([at]);
  for (let i = 0; i < spread; i++) all.add(Math.round(low + (high - low) * i / (spread - 1)));
  for (let i = -beside; i <= beside; i++) all.add(at + i);
  return [...all].filter((n) => n >= low && n <= high).sort((a, b) => a - b).map((n) => Math.round(n * step * 1e6) / 1e6);
}

export class FenceWorth {
  constructor(view) {
    Object.assign(this, { view, turn: 0, all: [] });
    this.go = button('Draw the chart', () => this.ask(), { id: 'fence-go' });
    this.told = h('div', { id: 'fence-told' });
    byID('by-fence-fields').replaceChildren(h('p', {}, 'Locks the fence at about 40 positions and searches for the best plan at each.'), this.go, this.told);
    onUnits(() => this.show());
    new ResizeObserver(() => this.show()).observe(this.told);
  }

  stale() {
    this.turn++;
    this.all = [];
    this.told.replaceChildren();
    this.go.disabled = false;
  }

  fill() { byID('by-fence').hidden = this.view.setting.on || !this.view.answer; }

  async ask() {
    const best = this.view.answer?.plan;
    if (!best || this.view.said === null) return;
    this.stale();
    const own = this.turn, found = [], list = places(job.saw.fence, job.saw.step_mm, best.setting.fence_mm ?? 0);
    this.go.disabled = true;
    try {
      for (const at_mm of list) {
        this.told.replaceChildren(h('p', {}, `${found.length} of ${list.length} positions`));
        const { value } = await call('/v1/boards:solve', { board: job.board, saw: job.saw, current_setting: job.current_setting, order: job.order,
          options: { ...job.options, runners_up: 0, time_limit_ms: mostTime }, instructions: { fence: { at_mm } } });
        if (own !== this.turn) return;
        found.push({ at: at_mm, plan: value.plan, worth: value.plan.worth ?? 0, proven: value.proof.proven });
      }
      this.all = found;
      this.at = found.findIndex((f) => Math.abs(f.at - (best.setting.fence_mm ?? 0)) < 1e-6);
      this.told.replaceChildren();
      this.show();
    } catch (e) {
      if (own === this.turn) this.told.replaceChildren(h('p', { class: 'fault' }, e.faults?.[0] ? `${readable(e.faults[0].path)} ${e.faults[0].says}` : e.message));
    }
    if (own === this.turn) this.go.disabled = false;
  }

  show() {
    if (this.all.length === 0 || !this.told.clientWidth) return;
    const wide = this.told.clientWidth;
    if (wide === this.wide && units() === this.units && this.told.childElementCount) return;
    Object.assign(this, { wide, units: units() });
    const slider = h('input', { type: 'range', min: 0, max: this.all.length - 1, step: 1, 'aria-label': 'Fence locked at', oninput: () => this.pick(Number(slider.value)) });
    slider.value = this.at;
    this.says = h('p', { role: 'status', class: 'fence-says' });
    this.mark = s('path', { class: 'held' });
    this.told.replaceChildren(this.chart(wide), slider, this.says, button('Show that plan', () => {
      const one = this.all[this.at];
      this.view.choose(-2, { name: `with the fence at ${width(one.at)}`, plan: one.plan });
    }, { class: 'small', id: 'fence-show' }));
    this.slider = slider;
    this.pick(this.at);
  }

  pick(i) {
    this.at = i;
    const one = this.all[i], less = (this.view.answer.plan.worth ?? 0) - one.worth;
    this.says.textContent = `Fence at ${width(one.at)}: worth ${money(one.worth)}, ${less > 1e-9 ? `${money(less)} less than the best plan` : 'as much as the best plan'}${one.proven ? '' : '; not proven, may be more'}.`;
    this.slider.setAttribute('aria-valuetext', this.says.textContent);
    this.mark.setAttribute('d', `M${this.X(one.at)} ${this.foot}V${this.Y(one.worth)}`);
  }

  chart(wide) {
    const left = 52, right = 20, top = 12, bottom = 42, high = 230, foot = high - bottom, all = this.all;
    const from = all[0].at, to = all.at(-1).at, most = Math.max(...all.map((f) => f.worth)) || 1;
    this.X = (v) => left + (to > from ? (v - from) / (to - from) : 0.5) * (wide - left - right);
    this.Y = (v) => foot - v / most * (foot - top);
    this.foot = foot;
    const best = all.filter((f) => f.worth >= most - 1e-9);
    const g = s('svg', { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, class: 'chart', role: 'img', 'aria-label': `Worth by fence position: from ${money(Math.min(...all.map((f) => f.worth)))} to ${money(most)}, the most at ${best.map((f) => width(f.at)).slice(0, 3).join(', ')}` });
    for (const v of steps(0, most, 4)) g.append(s('path', { d: `M${left} ${this.Y(v)}H${wide - right}`, class: 'line-grid' }), s('text', { x: left - 6, y: this.Y(v) + 4, 'text-anchor': 'end' }, Number(v.toPrecision(3))));
    const inch = units() === 'in';
    for (const v of ticks(from, to, (wide - left - right) / (to - from || 1), 56, inch ? inchSteps : mmSteps)) g.append(s('text', { x: this.X(v), y: foot + 18, 'text-anchor': 'middle' }, inch ? Number((v / 25.4).toFixed(3)) : v));
    g.append(s('text', { x: left, y: high - 6 }, `worth by fence position, ${inch ? 'in' : 'mm'}${all.every((f) => f.proven) ? '' : '; hollow: not proven'}`), this.mark);
    for (const f of all) g.append(s('path', { d: `M${this.X(f.at)} ${foot}V${this.Y(f.worth)}`, class: 'stem' }), s('circle', { cx: this.X(f.at), cy: this.Y(f.worth), r: f.worth >= most - 1e-9 ? 5 : 3.2, class: f.proven ? 'place' : 'place open' }));
    return g;
  }
}
