// The tally: packs as they were measured against what their suppliers said, with the
// difference in money and what measurement error can explain.

import { h, byID, table, speak } from './dom.js';
import { call } from './call.js';
import { hand, onHand } from './hand.js';
import { readable } from './path-words.js';
import { Form, rebuild } from './form.js';
import { money, width, long, onUnits } from './units.js';

const rules = [['TALLY_RULE_SURFACE_MEASURE', 'surface measure'], ['TALLY_RULE_END_TALLY', 'end tally'], ['TALLY_RULE_BLOCK_TALLY', 'block tally'], ['TALLY_RULE_EXACT_VOLUME', 'exact volume'], ['TALLY_RULE_METRIC_VOLUME', 'metric volume']];
const verdicts = { TALLY_VERDICT_AGREES: 'agrees', TALLY_VERDICT_LACKS: 'lacks', TALLY_VERDICT_EXCEEDS: 'exceeds' };
const kinds = { FINDING_KIND_SHORT: 'short', FINDING_KIND_NARROW: 'narrow', FINDING_KIND_SCANT: 'scant' };
const feet = (v) => v === undefined ? '–' : v.toFixed(1);
const signed = (v, write) => v === undefined ? '–' : `${v > 0 ? '+' : v < 0 ? '−' : ''}${write(Math.abs(v))}`;

export function tallyView() {
  const ask = { rule: rules[0][0], currency: '' };
  const form = new Form({ tally: ask }, () => go());
  let answer = null, fault = null, asked = 0;
  const cash = (v) => answer?.currency ? `${money(v)} ${answer.currency}` : money(v);

  const build = () => rebuild(byID('tally-fields'), () => [h('div', { class: 'fields wide' }, form.choice('tally.rule', 'Rule', rules), form.field('tally.currency', 'Currency', 'text'))]);

  async function go() {
    if (!hand.packs) return;
    const own = ++asked;
    answer = fault = null;
    show();
    try {
      const { value } = await call('/v1/packs:tally', { packs: hand.packs, rule: ask.rule, currency: ask.currency || undefined });
      if (own !== asked) return;
      answer = value;
      speak('The tally is ready.');
    } catch (e) {
      if (own !== asked) return;
      fault = e;
    }
    show();
  }

  // where names the pack and board that a path of the service's is about.
  function where(path) {
    const [, k, i] = /^packs\[(\d+)\](?:\.boards\[(\d+)\])?/.exec(path) ?? [];
    const pack = hand.packs[k], board = pack?.boards?.[i];
    return pack ? `Pack ${pack.pack_id}${board ? `, board ${board.board_id || Number(i) + 1}` : ''}: ${readable(path.replace(/^packs\[\d+\](\.boards\[\d+\])?\.?/, ''))}` : readable(path);
  }

  function show() {
    byID('tally-empty').hidden = Boolean(hand.packs);
    byID('tally-print').hidden = !answer;
    byID('tally-fault').replaceChildren(...fault ? fault.faults?.length ? [h('ul', {}, fault.faults.map((f) => h('li', {}, `${where(f.path)} ${f.says}`)))] : [fault.message] : []);
    byID('tally-answer').replaceChildren(...answer ? result() : hand.packs && !fault ? ['…'] : []);
  }

  function result() {
    const packs = answer.packs ?? [];
    const known = packs.map((p) => p.comparison?.difference_money).filter((v) => v !== undefined), sum = known.reduce((a, b) => a + b, 0);
    const compared = packs.filter((p) => p.comparison), lacks = compared.filter((p) => p.comparison.verdict === 'TALLY_VERDICT_LACKS').length;
    return [
      h('h2', { class: 'printed' }, `Tally of ${packs.length} packs, ${new Date().toISOString().slice(0, 10)}`),
      h('p', { class: 'saving' }, known.length ? [h('strong', { class: 'large' }, signed(sum, cash)), ` in lumber, measured less tallied, over ${known.length} of ${packs.length} packs. `] : 'No pack has a price and a tally to compare in money. ',
        compared.length ? `${lacks === 0 ? 'No pack lacks' : lacks === 1 ? '1 pack lacks' : `${lacks} packs lack`} more than measurement error can explain.` : ''),
      table('Packs against their tallies', ['pack', 'verdict', 'difference in money', 'in bd ft', 'measured, bd ft', 'tallied, bd ft', 'boards', 'supplier', 'species'], packs.map(row), { class: 'packs' }),
      ...left(packs), ...findings(packs), ...suppliers(),
      h('p', { class: 'hint' }, `By ${rules.find(([r]) => r === answer.rule)?.[1] ?? answer.rule}, ${answer.basis === 'TALLY_BASIS_GROSS' ? 'gross (green)' : 'net (kiln-dried)'}. The range in brackets is that of a figure, given the errors of the readings. A pack lacks or exceeds only where measurement error and rounding cannot explain the difference.`),
    ];
  }

  function row(p) {
    const c = p.comparison;
    const verdict = c ? h('span', { class: `verdict-mark ${c.verdict === 'TALLY_VERDICT_LACKS' ? 'lacks' : ''}` }, verdicts[c.verdict] ?? c.verdict) : 'not compared';
    const between = (v, [least, most], write) => v === undefined ? '–' : least === undefined || least === most ? write(v) : [write(v), ' ', h('span', { class: 'bounds' }, `(${write(least)} to ${write(most)})`)];
    const sign = (v) => signed(v, feet), inCash = (v) => signed(v, cash);
    return [p.pack_id, verdict, between(c?.difference_money, bounds(p), inCash), c ? `${sign(c.difference_board_feet ?? 0)}${c.difference_percent === undefined ? '' : `, ${sign(c.difference_percent)} %`}` : '–',
      between(p.measured_board_feet, [p.min_board_feet, p.max_board_feet], feet), feet(p.tallied_board_feet), String(p.boards ?? 0), p.supplier || '–', p.species];
  }

  // bounds are those of the difference in money, for all that the readings say. A board
  // foot of a pack has one price, that of the difference.
  function bounds(p) {
    const c = p.comparison;
    if (!c?.difference_money || !c.difference_board_feet || p.min_board_feet === undefined) return [undefined, undefined];
    return [p.min_board_feet, p.max_board_feet].map((v) => (v - p.tallied_board_feet) * c.difference_money / c.difference_board_feet);
  }

  const left = (packs) => packs.some((p) => p.left) ? [table('What is left', ['pack', 'bd ft', 'at least', 'at most', 'worth'], packs.filter((p) => p.left).map((p) => [p.pack_id, feet(p.left.board_feet ?? 0), feet(p.left.min_board_feet ?? 0), feet(p.left.max_board_feet ?? 0), p.left.value === undefined ? '–' : cash(p.left.value)]))] : [];

  const findings = (packs) => {
    const all = packs.flatMap((p) => (p.findings ?? []).map((f) => [p.pack_id, f.board_id || `${(f.index ?? 0) + 1}`, kinds[f.kind] ?? f.kind, (f.kind === 'FINDING_KIND_SHORT' ? long : width)(f.measured_mm ?? 0), (f.kind === 'FINDING_KIND_SHORT' ? long : width)(f.min_mm ?? 0)]));
    return all.length ? [table('Boards outside the limits', ['pack', 'board', 'is', 'measured', 'should be at least'], all)] : [];
  };

  const suppliers = () => (answer.suppliers ?? []).length ? [table('Suppliers', ['supplier', 'packs', 'mean difference', 'the supplier\'s mean lies between'], answer.suppliers.map((x) => [x.supplier || '–', String(x.packs ?? 0), `${signed(x.mean_percent ?? 0, feet)} %`,
    x.mean_lower_percent === undefined ? '–' : `${signed(x.mean_lower_percent, feet)} and ${signed(x.mean_upper_percent ?? 0, feet)} %, ${(100 * (x.level ?? 0)).toFixed(0)} % sure`]))] : [];

  byID('tally-print').onclick = () => print();
  byID('tally-open').onclick = () => byID('files').click();
  onHand((kind) => { if (kind === 'packs') go(); });
  onUnits(show);
  return { shown: () => { build(); show(); } };
}
