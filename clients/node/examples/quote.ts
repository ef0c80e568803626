/**
 * The ERP's question: what lumber does this order take, what does it cost, and what must
 * be bought?
 *
 *     node dist/examples/quote.js --http http://127.0.0.1:7421
 *
 * Saw, order and lumber are invented.
 */
import {pathToFileURL} from 'node:url';
import {parseArgs} from 'node:util';

import {post} from '../src/index.js';
import {complain} from './complain.js';
import type {QuoteOrderRequest} from '../src/gen/ripwright/v1/QuoteOrderRequest.js';

export const request: QuoteOrderRequest = {
  saw_name: 'heron',
  order: {
    order_id: 'Q-1104',
    items: [
      {item_id: 'stile', width_mm: 66.6, required: {length_m: 300}},
      {item_id: 'rail', width_mm: 50, required: {pieces: 400}, piece_length_mm: 550},
    ],
  },
  lumber: {
    seed: 7,
    lots: [
      {
        lot_id: 'random width',
        price_per_mbf: 4200,
        spread: {
          mean_width_mm: 185,
          width_sd_mm: 35,
          min_width_mm: 120,
          max_width_mm: 300,
          thickness_mm: 27,
          crook_mm: 3,
          lengths: [{length_mm: 2400, share: 2}, {length_mm: 3000, share: 1}],
        },
      },
      {
        lot_id: 'narrow',
        price_per_mbf: 3700,
        tagged: {thickness_mm: 27, rows: [{width_mm: 140, length_mm: 2400, count: 60}, {width_mm: 155, length_mm: 3000, count: 40}]},
      },
    ],
  },
  objective: 'PLAN_OBJECTIVE_COST',
  // There is one pack of the narrow lot; what would another save?
  buy_list: {lots: [{lot_id: 'narrow', max_boards: 100, pack_boards: 100}]},
  currency: 'CAD', // a label for amounts; nothing is converted
  simulations: 19,
  // The answer comes within this time, from the simulations that have ended.
  time_limit_ms: 20_000,
};

/** Requests a quote and gives it in words. */
export async function quote(base: string, order = request, patienceMs = 25_000): Promise<string[]> {
  // The signal is for a network or a server that hangs; the time limit comes first.
  const answer = await post(base, 'QuoteOrder', order, {signal: AbortSignal.timeout(patienceMs)});
  const lines = answer.impossible.map((i) => `${i.item_id} cannot be made: ${i.says}`);
  const {quote: q} = answer;
  if (!q?.boards) return [...lines, `no quote (${answer.result})`];
  const range = (e: {mean: number; lower: number; upper: number} | null | undefined, digits: number) =>
    e ? `${e.mean.toFixed(digits)} (${e.lower.toFixed(digits)} to ${e.upper.toFixed(digits)})` : 'not known';
  const money = (v: number) => `${v.toFixed(2)} ${answer.currency}`.trim();
  const uses = new Map(answer.lots.map((u) => [u.lot_id, u]));
  const buy = (q.lots ?? []).map((l) => {
    const use = uses.get(l.lot_id);
    return [
      `buy ${l.lot_id}: ${range(l.boards, 0)} boards, ${range(l.cost, 2)} ${answer.currency}`.trim(),
      ...(use?.leave ? ['leave it'] : use?.leaving_costs != null ? [`without it ${money(use.leaving_costs)} more`] : []),
      ...(use?.pack_saves != null ? [`one more pack saves ${money(use.pack_saves)}`] : []),
    ].join('; ');
  });
  return [
    ...lines,
    `boards      ${range(q.boards, 0)}`,
    `board feet  ${range(q.board_feet, 0)}`,
    `cost        ${range(q.cost, 2)} ${answer.currency}`.trim(),
    `yield       ${range(q.yield_ratio, 3)}`,
    ...buy,
    `from ${q.simulations} simulations`,
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  try {
    const {values} = parseArgs({options: {http: {type: 'string', default: 'http://127.0.0.1:7421'}}});
    for (const line of await quote(values.http)) console.log(line);
  } catch (err) {
    complain(err);
  }
}
