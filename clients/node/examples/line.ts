/**
 * The integrator's loop: scan a board, have it planned, check the plan as a
 * controller must, cut, confirm. After the third board the connection breaks, and
 * the run continues from its last state.
 *
 *     node dist/examples/line.js --grpc 127.0.0.1:7420
 *
 * Boards, saw and order are invented. A plan is advice: guards, interlocks, the
 * check of every position and the permission to feed are the machine's own.
 */
import {pathToFileURL} from 'node:url';
import {parseArgs} from 'node:util';

import {dial, Line, type LineAnswer} from '../src/index.js';
import {complain} from './complain.js';
import type {Board} from '../src/gen/ripwright/v1/Board.js';
import type {CutStrip} from '../src/gen/ripwright/v1/CutStrip.js';
import type {LineSetUp} from '../src/gen/ripwright/v1/LineSetUp.js';
import type {RunSummary__Output} from '../src/gen/ripwright/v1/RunSummary.js';

/** The saw as its controller knows it, from the maker's plate and measured. */
const saw = {
  name: 'dunlin',
  kerf_mm: 3.2,
  step_mm: 0.1,
  fence: {min_mm: 20, max_mm: 240},
  blades: [
    {fixed_mm: 130},
    {moving: {min_mm: 180, max_mm: 330}},
    {moving: {min_mm: 240, max_mm: 480}},
  ],
  min_gap_mm: 30,
  min_strip_width_mm: 30,
  limits: {min_length_mm: 900, max_width_mm: 400},
  feed_m_per_min: 24,
  positioning_mm_per_s: 120,
  handling_s: 2,
};

const setUp = (run: string): LineSetUp => ({
  run_id: run,
  saw,
  current_setting: {fence_mm: 60, blades_mm: [130, 220, 310]}, // as the axes say
  order: {
    order_id: 'F-308',
    items: [
      {item_id: 'slat', width_mm: 54, value: 12, stack: '1', required: {length_m: 40}},
      {item_id: 'apron', width_mm: 76.2, value: 15, stack: '2', required: {length_m: 25}},
      {item_id: 'top', range: {min_mm: 40, max_mm: 110}, value: 9, stack: '3'},
    ],
  },
  boards_in_flight: 4,
});

/** Simulates the scanner. */
function scan(n: number): Board {
  const width = 150 + ((n * 47) % 110);
  const length = 1800 + ((n * 310) % 1500);
  return {
    board_id: `b${n + 1}`,
    length_mm: length,
    thickness_mm: 27,
    stations: [
      {x_mm: 0, near_mm: 0, far_mm: width},
      {x_mm: length / 2, near_mm: 2, far_mm: width + 1},
      {x_mm: length, near_mm: 0, far_mm: width - 6},
    ],
  };
}

/** Gives the reason why the controller refuses a plan for a board, if it does. */
export function objection(boardId: string, fingerprint: string, plan: LineAnswer['plan']): string | undefined {
  if (!plan?.plan?.setting) return 'there is no plan';
  if (plan.board_id !== boardId) return `the plan is for board ${plan.board_id}`;
  if (plan.arbor_fingerprint !== fingerprint) return 'the plan is for another arbor';
  if (plan.do_not_feed) return plan.do_not_feed.says;
  const inside = (at: number, t: {min_mm: number; max_mm: number}) => at >= t.min_mm && at <= t.max_mm;
  const {fence_mm = NaN, blades_mm} = plan.plan.setting;
  if (!inside(fence_mm, saw.fence)) return `the fence cannot stand at ${fence_mm}`;
  if (blades_mm.length !== saw.blades.length) return `${blades_mm.length} blades`;
  for (const [i, at] of blades_mm.entries()) {
    const blade = saw.blades[i]!;
    if (blade.moving ? !inside(at, blade.moving) : at !== blade.fixed_mm) return `blade ${i} cannot stand at ${at}`;
    const before = blades_mm[i - 1];
    if (before !== undefined && at - before - saw.kerf_mm < saw.min_gap_mm - 1e-6) {
      return `blade ${i} is too near to the one before it`;
    }
  }
  return undefined;
}

/** Simulates the gauge at the outfeed: every strip is a little narrower than planned. */
function outfeed(plan: LineAnswer['plan']): CutStrip[] {
  return plan!.plan!.pockets.flatMap((p, pocket) =>
    p.item_id
      ? [{
          item_id: p.item_id,
          pocket, // identifies the blades
          width_mm: Math.round((p.width_mm - 0.04) * 100) / 100,
          stretches: p.stretches.map((s) => ({length_mm: s.to_mm - s.from_mm})),
        }]
      : [],
  );
}

/** Rips some boards and shows the result of the run. */
export async function run(
  address: string,
  {boards = 8, breakAfter = 3, withinMs = 500, patienceMs = 10_000, say = (_: string) => {}, name = `example-${process.pid}-${Date.now()}`} = {},
): Promise<RunSummary__Output> {
  const line = new Line({
    setUp: setUp(name),
    connect: () => dial(address),
    patienceMs,
    // keep: (state) => store it where it survives a crash of this program
  });
  try {
    // The fingerprint is recorded at commissioning; here it is taken from the answer.
    const {started} = await line.ready;
    const fingerprint = started!.ready!.arbor_fingerprint;
    for (let n = 0; n < boards; n++) {
      const board = scan(n);
      const answer = await line.board({board, ...(withinMs > 0 && {answer_within_ms: withinMs})});
      if (answer.refused) {
        say(`${board.board_id}: ${answer.refused.reason} ${answer.refused.faults.map((f) => `${f.path} ${f.says}`).join('; ')}`);
        continue; // an operator decides about this board
      }
      const why = objection(board.board_id!, fingerprint, answer.plan);
      const outcome = why ? 'CUT_OUTCOME_NOT_CUT' : 'CUT_OUTCOME_AS_MEASURED';
      if (n + 1 === breakAfter) line.breakOff(); // as a cable does
      const strips = why ? [] : outfeed(answer.plan);
      const {settled, released} = await line.confirm({board_sequence: answer.sequence, board_id: board.board_id!, outcome, strips});
      for (const drift of settled?.drifts ?? []) say(drift.says); // for the operator
      for (const lost of released) say(`${lost.board_id}: taken as not cut`);
      for (const doubt of settled?.doubts ?? []) say(`${board.board_id}: ${doubt.path} ${doubt.says}`);
      const {plan} = answer.plan!;
      const planned = plan!.pockets.filter((p) => p.item_id).map((p) => `${p.item_id} ${p.width_mm}`);
      say(why ? `${board.board_id}: refused, ${why}` : `${board.board_id}: fence ${plan!.setting!.fence_mm}, ${planned.join(' + ')}`);
    }
    return (await line.end()).summary!;
  } finally {
    line.close();
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  try {
    const {values} = parseArgs({options: {grpc: {type: 'string', default: '127.0.0.1:7420'}}});
    const summary = await run(values.grpc, {say: console.log});
    console.log(`${summary.planned} boards planned, ${summary.unconfirmed} without confirmation`);
    for (const i of summary.items) console.log(`  ${i.item_id}: ${i.strips} strips, ${i.length_m.toFixed(3)} m`);
  } catch (err) {
    complain(err);
  }
}
