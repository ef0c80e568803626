// Says before a request is sent what the service would refuse of it: limits of single
// fields, which the service publishes, and what people easily bring about among several.
// What is not said here the service says.

let messages = {};

export const takeLimits = (table) => { messages = table; };

const shown = (v) => Math.abs(v) >= 1e10 ? v.toExponential().replace('e+', 'e') : String(v);

function outside(v, b) {
  return !Number.isFinite(v) || v < b.least || v > b.most || b.above && v <= b.least || b.whole && v !== Math.trunc(v);
}

// faultsOf gives {path, says} of what is wrong with a request of the message's name.
export function faultsOf(request, message = 'SolveBoardRequest') {
  const faults = [];
  const say = (path, says) => faults.push({ path, says });
  ranges(request, message, '', say);
  needed(request, say);
  board(request.board ?? {}, say);
  order(request, say);
  travels(request.saw ?? {}, say);
  standing(request, say);
  const seen = new Set(); // one word a field
  return faults.filter((f) => !seen.has(f.path) && seen.add(f.path)).slice(0, 20);
}

function ranges(value, message, path, say) {
  for (const [name, t] of Object.entries(messages[message] ?? {})) {
    const v = value?.[name], at = path ? `${path}.${name}` : name;
    if (v === undefined || v === null) continue;
    if (t.list && Array.isArray(v)) {
      if (t.entries && outside(v.length, t.entries)) say(at, `has ${v.length} entries; must have ${t.entries.says}`);
      else v.forEach((e, i) => one(e, t, `${at}[${i}]`, say));
    } else if (!t.list) one(v, t, at, say);
  }
}

function one(v, t, path, say) {
  if (t.holds && typeof v === 'object') ranges(v, t.holds, path, say);
  else if (typeof v === 'number' && t.number && outside(v, t.number)) say(path, `is ${shown(v)}; must be ${t.number.says}`);
  else if (typeof v === 'string' && t.characters && outside([...v].length, t.characters)) say(path, `has ${[...v].length} characters; must have ${t.characters.says}`);
}

// What may not be left out, with what it takes.
const must = { board: ['length_mm'], saw: ['kerf_mm', 'step_mm', 'min_gap_mm', 'min_strip_width_mm'] };

function needed(request, say) {
  for (const [part, names] of Object.entries(must)) {
    for (const name of names) {
      const t = messages[part === 'board' ? 'Board' : 'Saw']?.[name];
      if (request[part] && request[part][name] === undefined && t) say(`${part}.${name}`, `is missing; must be ${t.number.says}`);
    }
  }
  if (request.board && !request.board.stations?.length) say('board.stations', 'is empty; at least one station is needed');
}

function board(b, say) {
  const length = b.length_mm ?? 0;
  if (messages.Board && outside(length, messages.Board.length_mm.number)) return; // what lies on a board of no length is not the fault
  let last = -1;
  (Array.isArray(b.stations) ? b.stations : []).forEach((st, i) => {
    const x = st.x_mm ?? 0, path = `board.stations[${i}]`;
    if (x > length) say(`${path}.x_mm`, `is ${shown(x)}; must lie on the board, 0 to ${shown(length)}`);
    else if (x <= last) say(`${path}.x_mm`, `is ${shown(x)}, not beyond the station before it at ${shown(last)}; stations go in rising order of x`);
    if ((st.far_mm ?? 0) < (st.near_mm ?? 0)) say(`${path}.far_mm`, `is ${shown(st.far_mm ?? 0)}, less than near_mm ${shown(st.near_mm ?? 0)}; the edges cross`);
    if (b.near_edge_straight && (st.near_mm ?? 0) !== 0) say(`${path}.near_mm`, `is ${shown(st.near_mm)}; must be 0 when near_edge_straight is set`);
    last = x;
  });
  if (b.stations?.length && b.stations.every((st) => (st.far_mm ?? 0) === (st.near_mm ?? 0))) say('board.stations', 'have no width anywhere; there is no wood to rip');
  (Array.isArray(b.defects) ? b.defects : []).forEach((d, i) => {
    const path = `board.defects[${i}]`, to = d.to_x_mm ?? 0;
    if (to > length) say(`${path}.to_x_mm`, `is ${shown(to)}; must lie on the board, 0 to ${shown(length)}`);
    for (const axis of ['x', 'y']) {
      const from = d[`from_${axis}_mm`] ?? 0;
      if ((d[`to_${axis}_mm`] ?? 0) <= from) say(`${path}.to_${axis}_mm`, `is ${shown(d[`to_${axis}_mm`] ?? 0)}, not beyond from_${axis}_mm ${shown(from)}`);
    }
    if (!d.kind) say(`${path}.kind`, 'is empty; say what it is, such as knot');
  });
}

function order(request, say) {
  const names = new Map(), narrow = request.saw?.min_strip_width_mm ?? 0, items = request.order?.items;
  (Array.isArray(items) ? items : []).forEach((it, i) => {
    const path = `order.items[${i}]`;
    if (!it.item_id) say(`${path}.item_id`, 'is empty; every item needs a name');
    else if (names.has(it.item_id)) say(`${path}.item_id`, `is "${it.item_id}", which order.items[${names.get(it.item_id)}] has too; every item needs a name of its own`);
    else names.set(it.item_id, i);
    if (it.width_mm === undefined && !it.range) say(`${path}.width_mm`, 'is missing; say how wide the strip is');
    else if (it.width_mm > 0 && it.width_mm < narrow) say(`${path}.width_mm`, `is ${shown(it.width_mm)}, narrower than saw.min_strip_width_mm ${shown(narrow)}; saws throw back narrow pieces`);
    if (it.max_length_mm < it.min_length_mm) say(`${path}.max_length_mm`, `is ${shown(it.max_length_mm)}, below min_length_mm ${shown(it.min_length_mm)}`);
    if (it.range && (it.range.max_mm ?? 0) < (it.range.min_mm ?? 0)) say(`${path}.range.max_mm`, `is ${shown(it.range.max_mm ?? 0)}, below min_mm ${shown(it.range.min_mm ?? 0)}`);
    if (it.piece_length_mm !== undefined && it.required?.pieces === undefined && it.made?.pieces === undefined) say(`${path}.piece_length_mm`, 'must be empty unless pieces are wanted');
    if (it.required && Object.keys(it.required).length === 0) say(`${path}.required`, 'is empty; say how much is wanted, or choose no limit');
  });
}

function travels(saw, say) {
  const one = (t, path) => {
    if (t && (t.max_mm ?? 0) < (t.min_mm ?? 0)) say(`${path}.max_mm`, `is ${shown(t.max_mm ?? 0)}, below min_mm ${shown(t.min_mm ?? 0)}`);
  };
  if (saw.min_gap_mm < saw.min_strip_width_mm) say('saw.min_gap_mm', `is ${shown(saw.min_gap_mm)}; must be at least min_strip_width_mm, ${shown(saw.min_strip_width_mm)}, and at most ${shown(messages.Saw?.min_gap_mm?.number.most ?? 5000)}`);
  let least = -Infinity; // where the next blade can stand
  one(saw.fence, 'saw.fence');
  (Array.isArray(saw.blades) ? saw.blades : []).forEach((b, i) => {
    one(b.moving, `saw.blades[${i}].moving`);
    const path = `saw.blades[${i}]`, [from, to] = b.moving ? [b.moving.min_mm ?? 0, b.moving.max_mm ?? 0] : [b.fixed_mm ?? 0, b.fixed_mm ?? 0];
    if (to < least - 1e-9) say(b.moving ? `${path}.moving.max_mm` : `${path}.fixed_mm`, `is ${shown(to)}; the blade before it and the smallest gap leave no room below ${shown(Math.round(least * 1e6) / 1e6)}; blades go in their order along the arbor`);
    least = Math.max(from, least) + (saw.kerf_mm ?? 0) + (saw.min_gap_mm ?? 0);
    if (!b.moving && b.fixed_mm === undefined) say(`saw.blades[${i}]`, 'has no mount; say where it stands');
  });
}

// standing says of where fence and blades stand now that they cannot stand there.
function standing({ saw, current_setting: now }, say) {
  const one = (v, t, path) => {
    if (t && v !== undefined && (v < (t.min_mm ?? 0) || v > (t.max_mm ?? 0))) say(path, `is ${shown(v)}; must lie within the travel, ${shown(t.min_mm ?? 0)} to ${shown(t.max_mm ?? 0)}`);
  };
  one(now?.fence_mm, saw?.fence, 'current_setting.fence_mm');
  (Array.isArray(saw?.blades) ? saw.blades : []).forEach((b, i) => one(now?.blades_mm?.[i], b.moving, `current_setting.blades_mm[${i}]`));
}
