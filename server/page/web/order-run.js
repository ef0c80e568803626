// Runs an order over boards, one after the other, as a line would: what is made
// travels from answer to answer with the order, and fence and blades start where the
// board before left them. Boards are taken for a sample: after the last comes the
// first again, until the order is filled. Values are planned for the whole order first, and
// again as it fills, as a line does that plans them.

import { call } from './call.js';

const parts = ['face', 'strip', 'end_trim', 'offcut', 'edging', 'kerf'];
const planBy = 60; // boards that values are planned from
const mostPasses = 20;

// unmade gives an order with nothing made of it.
export function unmade(order) {
  const o = structuredClone(order);
  for (const it of o.items ?? []) {
    delete it.made;
    it.crosscut?.lengths?.forEach((l) => { delete l.made; });
  }
  return o;
}

// made gives an order with what is made of another that has the same items.
function made(order, of) {
  const o = structuredClone(order);
  (o.items ?? []).forEach((it, i) => {
    it.made = of.items[i].made;
    it.crosscut?.lengths?.forEach((l, k) => { l.made = of.items[i].crosscut.lengths[k].made; });
  });
  return o;
}

const amountOf = (a) => a?.length_m ?? a?.area_m2 ?? a?.pieces ?? 0;
const short = 1e-6; // of an amount; less is not open

// filled gives how much of an item is made, 0 to 1; undefined: it has no end.
export function filled(f) {
  if (f.lengths?.length) {
    const wanted = f.lengths.filter((l) => l.required);
    return wanted.length ? wanted.reduce((sum, l) => sum + Math.min((l.made_after ?? 0) / l.required, 1), 0) / wanted.length : undefined;
  }
  const need = amountOf(f.required);
  return f.required ? need > 0 ? Math.min((amountOf(f.made_after) + short) / need, 1) : 1 : undefined;
}

export class Run {
  // values is planned or own; price is money per thousand board feet, or undefined.
  // Values are planned again after every so many boards, 0: never.
  constructor({ name, values, order, saw, boards, price, every = 0 }) {
    Object.assign(this, { name, values, saw: structuredClone(saw), boards, price, every, plans: 0, plannedAt: -Infinity, at: 0, sum: Object.fromEntries(parts.map((p) => [`${p}_m2`, 0])),
      worth: 0, feet: 0, unknownFeet: false, proven: 0, times: [], each: [], mean: [], trace: [], fills: [], done: '', last: null, idle: 0 });
    this.own = unmade(order);
    this.order = unmade(order);
  }

  // plan plans the values of what is still wanted, if the order is cut by planned ones and
  // it is time to. What of the order has no end keeps its own value.
  async plan(signal) {
    if (this.values !== 'planned' || this.plans && !(this.every && this.at - this.plannedAt >= this.every && this.idle < this.every)) return;
    const step = Math.max(1, Math.floor(this.boards.length / planBy)), some = this.boards.filter((_, i) => i % step === 0).slice(0, planBy);
    const priced = this.price > 0 && some.every((b) => b.thickness_mm > 0), order = made(this.own, this.order);
    const { value } = await call('/v1/orders:planValues', { saw: this.saw, order, relative_gap: 0.01, time_limit_ms: 20000,
      objective: priced ? 'PLAN_OBJECTIVE_COST' : 'PLAN_OBJECTIVE_FACE',
      lumber: { lots: [{ lot_id: 'these boards', price_per_mbf: this.price, listed: { boards: some.map((board) => ({ board })) } }], seed: 1 } }, signal);
    if (this.plans === 0) this.impossible = value.impossible ?? [];
    (value.values ?? []).forEach((v, i) => {
      const it = this.order.items[i];
      if (it.crosscut) (v.lengths ?? []).forEach((l, k) => { it.crosscut.lengths[k].value = l.value; });
      else Object.assign(it, { value: v.value, value_per: v.value_per });
    });
    this.plans++;
    this.plannedAt = this.at;
  }

  // step rips the next board; it gives false once there is none.
  async step(signal) {
    if (this.done) return false;
    await this.plan(signal);
    const board = this.boards[this.at % this.boards.length];
    const { value } = await call('/v1/boards:solve', { board, saw: this.saw, current_setting: this.stands, order: this.order, options: { detail: { fills: 'ITEM_DETAIL_ALL' } } }, signal);
    const planned = structuredClone(this.order);
    this.count(value);
    let more = false;
    value.fills.forEach((f, i) => {
      const it = this.order.items[i];
      more ||= (filled(f) ?? 0) > (this.fills[i] ? filled(this.fills[i]) ?? 0 : 0) + 1e-9;
      it.made = f.made_after;
      f.lengths?.forEach((l, k) => { it.crosscut.lengths[k].made = l.made_after; });
    });
    this.idle = more ? 0 : this.idle + 1;
    this.fills = value.fills;
    this.trace.push(value.fills.map(filled));
    this.stands = value.plan.setting;
    this.last = { board, saw: this.saw, order: planned, plan: value.plan };
    this.done = this.end();
    return !this.done;
  }

  count({ plan, proof, solve_time_us }) {
    const { account } = plan;
    this.at++;
    for (const p of parts) this.sum[`${p}_m2`] += account[`${p}_m2`] ?? 0;
    this.worth += plan.worth ?? 0;
    this.unknownFeet ||= account.board_feet === undefined;
    this.feet += account.board_feet ?? 0;
    this.proven += proof.proven ? 1 : 0;
    this.times.push(solve_time_us ?? 0);
    this.each.push([this.at, 100 * (account.yield_ratio ?? 0)]);
    this.mean.push([this.at, 100 * this.yield()]);
  }

  yield() { return this.sum.face_m2 > 0 ? this.sum.strip_m2 / this.sum.face_m2 : 0; }

  // cost is money for the lumber; undefined where price or thickness is not known.
  cost() { return this.price > 0 && !this.unknownFeet ? this.feet * this.price / 1000 : undefined; }

  open() { return this.fills.filter((f) => (filled(f) ?? 1) < 1); }

  // end says why a run is over; empty: it is not.
  end() {
    const wanted = this.fills.some((f) => filled(f) !== undefined);
    if (wanted && this.open().length === 0) return 'filled';
    if (!wanted) return this.at >= this.boards.length ? 'through' : '';
    return this.idle >= 2 * this.boards.length || this.at >= mostPasses * this.boards.length ? 'stuck' : '';
  }
}
