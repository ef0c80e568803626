// The verdict on what is asked: good only where nothing stands against it.

import { money, width } from './units.js';
import { turnOf } from './turns.js';

const limits = { ENDED_BY_TIME_LIMIT: 'time limit', ENDED_BY_WORK_LIMIT: 'work limit', ENDED_BY_MEMORY_LIMIT: 'memory limit' };

// behindFence says by how many mm the near edge of a board, as it lies, reaches behind
// the face of the fence. A skewed board is laid against it again.
export function behindFence(board, plan) {
  if (plan?.setting?.skew_mm_per_m) return 0;
  return Math.max(0, ...(board.stations ?? []).map((st) => -(st.near_mm ?? 0)));
}

// judge gives {kind, text}: good, less (no fault, but no success either) or bad.
export function judge({ value, error, faults, setting, board, plan = value?.plan }) {
  if (error) return { kind: 'bad', text: faults.length ? 'Refused: each fault is shown beside its field.' : error.message };
  if (faults.length) return { kind: 'bad', text: 'Do not saw with this setting: it breaks rules.' };
  const behind = behindFence(board, plan);
  if (behind > 0) return { kind: 'bad', text: `The near edge reaches ${width(behind)} behind the face of the fence, where no board can lie. Measure it again.` };
  if (value.do_not_feed) return { kind: 'bad', text: value.do_not_feed.says.replace(/^d/, 'D') };
  const turn = turnOf(plan), first = turn ? `Turn the board ${turn}. ` : '';
  if (setting) {
    const less = value.distance ?? 0;
    if (less > 1e-9) return { kind: 'less', text: `${first}Worth ${money(less)} less than the best plan.` };
    return value.proof?.proven ? { kind: 'good', text: `${first}As good as the best plan.` } : { kind: 'less', text: `${first}As good as the best plan found, which is not proven.` };
  }
  const short = (value.plan.worth ?? 0) - (plan.worth ?? 0);
  if (plan !== value.plan) return { kind: 'less', text: `${first}${short > 1e-9 ? `Worth ${money(short)} less than the best plan.` : 'Worth as much as the best plan.'}` };
  if (value.proof.proven) return { kind: 'good', text: `${first}Best plan: no other is worth more.` };
  return { kind: 'less', text: `${first}Not proven: another plan may be worth up to ${money(Math.max((value.proof.bound ?? 0) - (value.proof.worth ?? 0), 0))} more.` };
}

// proofOf says what is proven and how long it took.
export function proofOf(proof, solveUs, took) {
  const time = `Searched ${solveUs < 1000 ? `${solveUs.toFixed(0)} µs` : `${(solveUs / 1000).toFixed(1)} ms`}, answered in ${took.toFixed(took < 10 ? 1 : 0)} ms`;
  if (proof.proven) return `Proven: no plan is worth more than ${money(proof.worth ?? 0)}. ${time}.`;
  return `Not proven: the ${limits[proof.ended_by] ?? 'limit'} was reached; no plan is worth more than ${money(proof.bound ?? 0)}. ${time}.`;
}
