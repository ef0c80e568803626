// "Why not another strip here?": what the best plan is worth less once it has to have a
// strip of an item, anywhere or at a place. The service searches again for each.

import { h, byID, button, speak } from './dom.js';
import { call } from './call.js';
import { job } from './job.js';
import { letter } from './marks.js';
import { exchange } from './result.js';
import { candidates } from './places.js';
import { money, onUnits, width } from './units.js';
import { readable } from './path-words.js';

const mostTries = 6; // ways to put the strip at a place that are asked for

export class Why {
  constructor(view) {
    this.view = view;
    this.turn = 0;
    this.item = h('select', { id: 'why-item' });
    this.place = h('select', { id: 'why-place' });
    this.answer = h('div', { id: 'why-answer', role: 'status' });
    byID('why-fields').replaceChildren(
      h('div', { class: 'fields wide' }, h('div', { class: 'field' }, h('label', { for: 'why-item' }, 'Another strip of'), this.item), h('div', { class: 'field' }, h('label', { for: 'why-place' }, 'Where, from the fence'), this.place)),
      button('What would it cost?', () => this.ask(), { id: 'why-ask' }), this.answer);
    for (const e of [this.item, this.place]) e.onchange = () => this.stale();
    onUnits(() => { this.stale(); this.fill(); });
  }

  // stale takes away what was answered to something else.
  stale() {
    this.turn++;
    this.answer.replaceChildren();
    byID('why-ask').disabled = false;
  }

  // fill offers the order's items and the places of the best plan.
  fill() {
    const plan = this.view.setting.on ? null : this.view.answer?.plan;
    byID('why').hidden = !plan;
    if (!plan) return;
    const { item, place } = this, was = [item.value, place.value];
    const wooded = (plan.pockets ?? []).map((k, i) => ({ k, i })).filter(({ k, i }) => k.item_id || i === 0 || k.width_mm > 0 && k.near_mm < Math.max(...job.board.stations.map((st) => st.far_mm ?? 0)));
    item.replaceChildren(...(job.order.items ?? []).map((it, i) => h('option', { value: it.item_id }, `${letter(i)}: ${it.item_id}`)));
    place.replaceChildren(h('option', { value: '' }, 'anywhere on the board'), ...wooded.map(({ k, i }) =>
      h('option', { value: i }, `where ${k.item_id || 'waste'} lies, ${width(k.near_mm)}`)));
    if (was[0]) item.value = was[0];
    if (item.selectedIndex < 0) item.selectedIndex = 0;
    place.value = was[1];
    if (place.selectedIndex < 0) place.selectedIndex = 0;
  }

  async ask() {
    const own = ++this.turn, { view } = this, best = view.answer?.plan, it = job.order.items.find((i) => i.item_id === this.item.value);
    if (!best || !it || view.said === null) return;
    const pocket = this.place.value === '' ? null : best.pockets[Number(this.place.value)];
    const n = best.pockets.filter((k) => k.item_id === it.item_id).length + 1;
    const most = job.saw.blades.length - (job.board.near_edge_straight ? 0 : 1); // as many pockets as there are
    if (pocket?.item_id === it.item_id || !pocket && n > most) {
      this.answer.replaceChildren(h('p', {}, pocket ? `${it.item_id} lies there already in the best plan.` : `${it.item_id}: not possible. The saw gives at most ${most} strips.`));
      return;
    }
    byID('why-ask').disabled = true;
    this.answer.replaceChildren(h('p', {}, 'Searching…'));
    const asked = pocket ? candidates(best, pocket, it, job.saw, job.board.near_edge_straight).slice(0, mostTries) : [{ instructions: { forced: [{ item_id: it.item_id, strips: n }] } }];
    let found = null, proven = true;
    try {
      for (const { instructions, near } of asked) {
        const { value } = await call('/v1/boards:solve', { board: job.board, saw: job.saw, current_setting: job.current_setting, order: job.order, options: { ...job.options, runners_up: 0 }, instructions });
        if (own !== this.turn) return;
        proven &&= value.proof.proven;
        const at = pocket && value.plan.pockets.find((k) => k.item_id === it.item_id && (k.near_blade ?? -1) === near);
        if (!value.instructed.kept || pocket && !at || found && value.instructed.cost >= found.cost) continue;
        found = { plan: value.plan, cost: value.instructed.cost, most: value.instructed.cost_bound, at };
      }
      this.say(it, n, pocket, found, proven);
    } catch (e) {
      if (own === this.turn) this.answer.replaceChildren(h('p', { class: 'fault' }, e.faults?.[0] ? `${readable(e.faults[0].path)} ${e.faults[0].says}` : e.message));
    }
    if (own === this.turn) byID('why-ask').disabled = false;
  }

  say(it, n, pocket, found, proven) {
    const here = pocket ? ' here' : '', best = this.view.answer.plan;
    if (!found) {
      const why = pocket ? 'the blades cannot take these positions, or the wood there is not clear' : `no plan has ${n} strips of it`;
      this.answer.replaceChildren(h('p', {}, `${it.item_id}${here}: ${proven ? `not possible. On this saw and board ${why}.` : 'no plan was found in time.'}`));
      return;
    }
    const where = found.at ? ` from ${width(found.at.near_mm)} to ${width(found.at.far_mm)}` : '';
    const cost = found.cost > 1e-9 ? [h('strong', {}, `costs ${money(found.cost)}`)] : [h('strong', {}, 'costs nothing')];
    const bound = found.most - found.cost > 1e-9 ? ` Not proven: it costs at most ${money(found.most)}.` : '';
    this.answer.replaceChildren(
      h('p', {}, `One more ${it.item_id}${where} `, cost, `: the board is then worth ${money(found.plan.worth ?? 0)} instead of ${money(best.worth ?? 0)}. It ${exchange(best, found.plan, job.order)}.${bound}`),
      button('Show that plan', () => this.view.choose(-2, { name: `with ${it.item_id}${here}`, plan: found.plan }), { class: 'small', id: 'why-show' }));
    speak(`It costs ${money(found.cost)}`);
  }
}
