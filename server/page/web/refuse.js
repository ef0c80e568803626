// Says before a request is sent what the service would refuse of it, so that none is sent
// that must fail. What no caller can know it cannot say: that the service is busy, has no
// room, stops or takes no token, and that lengths combine in too many ways by values that
// are only found as it plans.

import { boardRules, fineRules, fitRules, span } from './rules/board.js';
import { readable } from './path-words.js';
import { nm } from './rules/exact.js';
import { orderRules, wayRules } from './rules/order.js';
import { packRules, takeSpecies } from './rules/packs.js';
import { quoteRules, valueRules } from './rules/quote.js';
import { sawRules } from './rules/saw.js';
import { Faults } from './rules/say.js';
import { canonical, shape, takeLimits as takeTable } from './rules/shape.js';
import { instructionRules, lockRules, settingRules, standingRules } from './rules/standing.js';

const most = 20; // faults that are said

// takeLimits takes what the service says of its requests.
export function takeLimits({ messages, species }) {
  takeTable(messages);
  takeSpecies(species);
}

// messageOf names the message of each call that the page makes.
export const messageOf = { '/v1/boards:solve': 'SolveBoardRequest', '/v1/boards:check': 'CheckPlanRequest', '/v1/boards:draw': 'DrawPlanRequest',
  '/v1/orders:planValues': 'PlanValuesRequest', '/v1/orders:quote': 'QuoteOrderRequest', '/v1/orders:watchQuote': 'WatchQuoteRequest', '/v1/packs:tally': 'TallyPackRequest' };

const rules = {
  SolveBoardRequest: solve, CheckPlanRequest: check, DrawPlanRequest: drawn, PlanValuesRequest: values,
  QuoteOrderRequest: quote, TallyPackRequest: packRules,
};

// faultsOf gives {path, says} of what is wrong with a request of the message's name.
export function faultsOf(request, message = 'SolveBoardRequest') {
  if (message === 'WatchQuoteRequest') return faultsOf(request.quote ?? {}, 'QuoteOrderRequest').map((f) => ({ ...f, path: `quote.${f.path}` }));
  const faults = new Faults();
  shape(request, message, '', faults);
  if (!faults.all.some((f) => f.misfit)) rules[message](request, faults); // which can read only what fits
  const seen = new Set(); // one word a field
  return faults.all.filter((f) => !seen.has(f.path) && seen.add(f.path)).slice(0, most);
}

// named names a field for people who see labels and for people who look at the JSON.
const named = (path) => path.includes('_') || path.includes('[') ? `${readable(path)} (${path})` : path;

// taken gives a message that came from outside as the page has it, and throws what of it
// does not fit: unknown fields, and fields of another type.
export function taken(value, message) {
  const faults = new Faults(), v = canonical(value, message);
  if (v === null || typeof v !== 'object' || Array.isArray(v)) throw new Error('must have fields');
  shape(v, message, '', faults);
  const misfits = faults.all.filter((f) => f.misfit);
  if (misfits.length) throw new Error(misfits.slice(0, 3).map((f) => `${named(f.path)} ${f.says}`).join('; '));
  return v;
}

// boardFaults gives what is wrong with a board, and where nothing is wrong with the saw
// why that does not take it.
export function boardFaults(board, saw) {
  const faults = new Faults(), own = new Faults();
  shape(board, 'Board', 'board', faults);
  boardRules(board, 'board', faults);
  shape(saw, 'Saw', 'saw', own);
  sawRules(saw, own);
  if (faults.all.length + own.all.length === 0) fits(board, saw, faults);
  return faults.all;
}

function fits(board, saw, faults) {
  fitRules(board, saw, 'board', faults);
  const [lo, hi] = span(board);
  fineRules(hi - lo, saw, faults);
}

// ofBoard is what requests about one board have in common.
function ofBoard(request, faults) {
  boardRules(request.board, 'board', faults);
  if (!request.saw) faults.add('saw', 'is missing; a saw is needed');
  else sawRules(request.saw, faults);
  if (request.saw) standingRules(request.current_setting, request.saw, faults);
  orderRules(request.order, request.saw, faults);
  const price = request.options?.price_per_saw_hour;
  if (price && Math.round(price * 1e9 / 3600) > 0 && request.saw?.feed_m_per_min === undefined) faults.beside('options.price_per_saw_hour', `is ${price}; the time of a cycle can be estimated only if the saw's feed is known`);
}

// whole is what is only asked of parts that have no fault.
function whole(request, faults) {
  if (faults.all.length) return;
  fits(request.board, request.saw, faults);
  wayRules(request.order, nm(request.board.length_mm), faults);
}

function solve(request, faults) {
  ofBoard(request, faults);
  instructionRules(request, faults);
  whole(request, faults);
  if (faults.all.length === 0 && request.instructions) lockRules(request, faults);
}

function check(request, faults) { settled(request, true, faults); }

function drawn(request, faults) { settled(request, Boolean(request.setting), faults); }

// settled is about one plan, whose setting may be given.
function settled(request, given, faults) {
  ofBoard(request, faults);
  if (request.options?.runners_up) faults.add('options.runners_up', `is ${request.options.runners_up}; must be 0 where one plan is asked for`);
  if (given) settingRules(request.setting, request.saw ?? {}, faults);
  whole(request, faults);
}

function values(request, faults) {
  if (!request.saw) return void faults.add('saw', 'is missing; a saw is needed');
  valueRules(request, faults);
}

function quote(request, faults) {
  if (!request.saw) return void faults.add('saw', 'is missing; a saw is needed');
  quoteRules(request, faults);
}
