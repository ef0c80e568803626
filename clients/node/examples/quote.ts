/**
 * The ERP's question: what lumber does this order take, and what does it cost?
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
    ],
  },
  objective: 'PLAN_OBJECTIVE_COST',
  simulations: 19,
  // Within this time an answer comes, from as many simulations as ended.
  time_limit_ms: 20_000,
};

/** Asks and gives what a person would want to see. */
export async function quote(base: string, order = request, patienceMs = 25_000): Promise<string[]> {
  // The signal is for a network or a server that hangs; the time limit comes first.
  const answer = await post(base, 'QuoteOrder', order, {signal: AbortSignal.timeout(patienceMs)});
  const lines = answer.impossible.map((i) => `${i.item_id} cannot be had: ${i.says}`);
  const {quote: q} = answer;
  if (!q?.boards) return [...lines, `no quote (${answer.result})`];
  const range = (e: {mean: number; lower: number; upper: number} | null | undefined, digits: number) =>
    e ? `${e.mean.toFixed(digits)} (${e.lower.toFixed(digits)} to ${e.upper.toFixed(digits)})` : 'not known';
  return [
    ...lines,
    `boards      ${range(q.boards, 0)}`,
    `board feet  ${range(q.board_feet, 0)}`,
    `cost        ${range(q.cost, 2)}`,
    `yield       ${range(q.yield_ratio, 3)}`,
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
