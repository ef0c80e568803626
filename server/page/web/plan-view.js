// What people read of a plan: first what they set and what comes out, then the rest.

import { h, byID } from './dom.js';
import { job } from './job.js';
import { accountBar, choices, compare, fills } from './result.js';
import { setUp, strips } from './set-up.js';
import { proofOf } from './verdict.js';
import { turnOf } from './turns.js';
import { money } from './units.js';

// showPlan fills the parts of a board's view with a plan of its answer.
export function showPlan(view, p) {
  const { answer, said, chosen } = view;
  byID('setup').replaceChildren(...answer.do_not_feed && chosen === -1 ? [] : setUp(p, job.saw)); // nothing is set for a board that is not fed
  byID('strips').replaceChildren(strips(p, job.order, job.board.length_mm));
  byID('headline').replaceChildren(...headline(p, answer.cycle));
  byID('proof').textContent = said?.value ? proofOf(answer.proof, answer.solve_time_us ?? 0, said.took) : '';
  byID('account').replaceChildren(...accountBar(p.account));
  byID('compare').replaceChildren(compare(view.name(), p, job.order, view.other()));
  byID('fills').replaceChildren(chosen === -1 ? fills(answer.fills ?? [], job.order) : h('p', {}, 'Shown for the best plan.'));
  byID('warnings').replaceChildren(...(answer.warnings ?? []).map((w) => h('li', {}, `${w.path}: ${w.says}`)));
  byID('choices-part').hidden = view.setting.on;
  byID('choices').replaceChildren(...view.setting.on ? [] : choices(answer, job.order, chosen, (i) => view.choose(i)));
}

function headline(p, cycle) {
  return [h('strong', {}, money(p.worth ?? 0)), ' worth, ', h('strong', {}, `${(100 * (p.account.yield_ratio ?? 0)).toFixed(1)} %`), ' yield',
    p.account.board_feet != null ? `, ${p.account.board_feet.toFixed(2)} board feet` : '',
    cycle ? `, ${cycle.total_s.toFixed(1)} s a board` : '', p.setting.skew_mm_per_m ? `, board set at ${p.setting.skew_mm_per_m} mm per m` : '',
    turnOf(p) ? `, board turned ${turnOf(p)} for ${money(p.turn_cost ?? 0)} and drawn as it then lies` : ''];
}
