// What has to hold between the fields of a request to plan values or to quote.

import { list, round } from './exact.js';
import { fineRules } from './board.js';
import { longest, lumberRules, priceRules, widest } from './lumber.js';
import { orderRules, planRules, rowsOf, wayRulesUpTo } from './order.js';
import { sawRules } from './saw.js';

export function valueRules(request, faults) {
  sawRules(request.saw, faults);
  orderRules(request.order, request.saw, faults);
  lumberRules(request.lumber, faults);
  if (request.order && !faults.any('order')) planRules(request.order, faults);
  if (request.objective === 'PLAN_OBJECTIVE_COST' || request.buy_list) priceRules(request.lumber, faults);
  if (faults.all.length) return;
  fineRules(widest(request.lumber), request.saw, faults);
  wayRulesUpTo(request.order, longest(request.lumber), true, faults);
}

const policies = (q) => [q.values ?? 'VALUE_CHOICE_PLANNED', ...list(q.compare)];

export function quoteRules(q, faults) {
  const seen = new Set();
  policies(q).forEach((v, i) => {
    if (i > 0 && v === 'VALUE_CHOICE_UNSPECIFIED') faults.add(`compare[${i - 1}]`, 'is not a choice of values');
    else if (seen.has(v)) faults.add(`compare[${i - 1}]`, 'is named twice');
    seen.add(v === 'VALUE_CHOICE_UNSPECIFIED' ? 'VALUE_CHOICE_PLANNED' : v);
  });
  if (q.buy_list) buyRules(q, faults);
  valueRules(q, faults);
  if (!policies(q).includes('VALUE_CHOICE_OWN') || !q.order || faults.any('order')) return;
  for (const { item, cut, it } of rowsOf(q.order)) {
    const value = cut < 0 ? it.value : it.crosscut.lengths[cut].value, path = `order.items[${item}]${cut < 0 ? '' : `.crosscut.lengths[${cut}]`}.value`;
    if (round((value ?? 0) * 1e6) === 0) faults.beside(path, 'is 0, so that nothing of it is cut by own values; give it one, or do not ask for them');
  }
  if (faults.all.length === 0) wayRulesUpTo(q.order, longest(q.lumber), false, faults);
}

function buyRules(q, faults) {
  if (['PLAN_OBJECTIVE_BOARDS', 'PLAN_OBJECTIVE_FACE'].includes(q.objective)) faults.add('objective', 'must be the least cost where a buy list is asked for');
  const due = list(q.order?.items).findIndex((it) => it.due_boards > 0), lots = list(q.lumber?.lots).map((l) => l.lot_id ?? ''), named = new Set();
  if (due >= 0) faults.add(`order.items[${due}].due_boards`, 'is given; a buy list is planned without dues');
  list(q.buy_list.lots).forEach(({ lot_id: id = '' }, i) => {
    if (lots.length && !lots.includes(id)) faults.add(`buy_list.lots[${i}].lot_id`, `is "${id}"; the lumber has no such lot`);
    else if (named.has(id)) faults.add(`buy_list.lots[${i}].lot_id`, `is "${id}", which is given twice`);
    named.add(id);
  });
}
