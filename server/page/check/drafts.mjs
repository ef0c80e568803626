// Draws mistaken requests: whole ones of every call that the page makes, in which some
// fields are set to what is wrong, extreme, or at odds with others. The fields are those
// that the service tells of.

const board = (more) => ({ board_id: 'b', pack_id: 'p', length_mm: 2400, thickness_mm: 27, stations: [{ x_mm: 0, near_mm: 0, far_mm: 210 }, { x_mm: 1200, near_mm: 2, far_mm: 208 }, { x_mm: 2400, near_mm: 1, far_mm: 205 }],
  defects: [{ from_x_mm: 300, to_x_mm: 340, from_y_mm: 50, to_y_mm: 70, kind: 'knot' }], ...more });
const saw = () => ({ name: 'w', kerf_mm: 3.4, step_mm: 0.1, fence: { min_mm: 40, max_mm: 290 }, min_gap_mm: 30, min_strip_width_mm: 25, edge_trim_mm: 3,
  blades: [{ moving: { min_mm: 40, max_mm: 190 } }, { fixed_mm: 222.4 }, { fixed_mm: 283.8 }, { moving: { min_mm: 320, max_mm: 500 } }],
  limits: { min_length_mm: 300, max_length_mm: 6000, min_width_mm: 40, max_width_mm: 600, min_thickness_mm: 10, max_thickness_mm: 80 },
  rerip: { min_width_mm: 40, value_per_m2: 3 }, max_skew_mm_per_m: 8, feed_m_per_min: 30, positioning_mm_per_s: 250, handling_s: 3, turns: [{ turn: 'BOARD_TURN_END_FOR_END', cost: 0.1 }] });
const order = () => ({ order_id: 'o', items: [
  { item_id: 'stile', width_mm: 58, value: 20, required: { length_m: 40 }, made: { length_m: 3 }, min_length_mm: 500, max_length_mm: 4000, tolerance_mm: 0.2, stack: '1', accepts: ['knot'] },
  { item_id: 'shelf', range: { min_mm: 60, max_mm: 90 }, value: 15, value_per: 'VALUE_PER_AREA', required: { area_m2: 4 }, panel: { width_mm: 400, joint_allowance_mm: 4 } },
  { item_id: 'rail', width_mm: 45, required: { pieces: 20 }, value: 1, value_per: 'VALUE_PER_STRIP', piece_length_mm: 800 },
  { item_id: 'slat', width_mm: 34, crosscut: { kerf_mm: 4, end_trim_mm: 10, lengths: [{ length_mm: 500, value: 1, required: 20, made: 2 }, { length_mm: 725, value: 1.6, required: 5 }] } }] });
const standing = () => ({ fence_mm: 60, blades_mm: [120, 222.4, 283.8, 400] });
const lumber = () => ({ seed: 1, lots: [
  { lot_id: 'one', price_per_mbf: 4200, listed: { boards: [{ board: board(), count: 2 }, { board: board({ length_mm: 3000, board_id: 'c' }) }] } },
  { lot_id: 'two', price_per_mbf: 3900, spread: { mean_width_mm: 190, width_sd_mm: 40, min_width_mm: 100, max_width_mm: 300, crook_mm: 5, taper_mm: 6, thickness_mm: 27, lengths: [{ length_mm: 2400, share: 2 }, { length_mm: 3000, share: 1 }],
    defects: [{ kind: 'knot', per_m2: 2, min_length_mm: 20, max_length_mm: 60, min_width_mm: 5, max_width_mm: 25 }] } },
  { lot_id: 'three', price_per_mbf: 4000, tagged: { thickness_mm: 27, rows: [{ width_mm: 170, length_mm: 2400, count: 40 }, { width_mm: 205, length_mm: 3000, count: 25 }] } }] });
const pack = (more) => ({ pack_id: 'a', supplier: 's', species: 'white oak', grade: '1', nominal_thickness_in: 1, price_per_mbf: 900, scant_mm: 1, min_width_mm: 80, min_length_mm: 900,
  boards: [{ board_id: '1', inches: { width_in: 6.5, length_ft: 8, thickness_in: 1 }, pieces: 2 }, { board_id: '2', inches: { width_in: 7, length_ft: 10 }, consumed: true }],
  tally: { basis: 'TALLY_BASIS_GROSS', counts: { lines: [{ inches: { width_in: 6.5, length_ft: 8 }, pieces: 3 }] } }, ...more });
const aboutBoard = () => ({ board: board(), saw: saw(), current_setting: standing(), order: order() });

// whole are requests without a mistake, by path.
export const whole = {
  '/v1/boards:solve': () => ({ ...aboutBoard(), options: { runners_up: 2, time_limit_ms: 20, price_per_saw_hour: 60, detail: { fills: 'ITEM_DETAIL_ALL' }, turn_boards: true },
    instructions: { forced: [{ item_id: 'rail', strips: 1 }], forbidden: ['slat'], fence: { at_mm: 70 }, blades: [{ blade: 0, at_mm: 150 }, { blade: 1 }, { blade: 3 }], min_yield_ratio: 0.2 } }),
  '/v1/boards:check': () => ({ ...aboutBoard(), options: { time_limit_ms: 20 }, setting: { fence_mm: 60, blades_mm: [120, 222.4, 283.8, 400], skew_mm_per_m: 0, turn: 'BOARD_TURN_AS_SCANNED' } }),
  '/v1/boards:draw': () => ({ ...aboutBoard(), options: { time_limit_ms: 20 }, setting: { fence_mm: 60, blades_mm: [120, 222.4, 283.8, 400] } }),
  '/v1/orders:planValues': () => ({ saw: saw(), order: order(), lumber: lumber(), objective: 'PLAN_OBJECTIVE_COST', relative_gap: 0.5, time_limit_ms: 5 }),
  '/v1/orders:quote': () => ({ saw: saw(), order: order(), lumber: lumber(), objective: 'PLAN_OBJECTIVE_COST', simulations: 1, level: 0.9, time_limit_ms: 5, max_boards: 50, currency: 'USD', compare: [],
    pace: { feed_m_per_min: 30, positioning_mm_per_s: 250, handling_s: 3, shift_hours: 8 }, buy_list: { lots: [{ lot_id: 'one', max_boards: 30, pack_boards: 10 }, { lot_id: 'three', max_boards: 40 }] } }),
  '/v1/packs:tally': () => ({ rule: 'TALLY_RULE_SURFACE_MEASURE', currency: 'USD', packs: [pack(), pack({ pack_id: 'b', tally: { surfaces: { lines: [{ surface_ft2: 12, pieces: 3 }] } } }), pack({ pack_id: 'c', tally: { board_feet: 410 },
    boards: [{ board_id: '9', metric: { width_mm: 150, length_mm: 2400, thickness_mm: 27 } }] })] }),
};

// fine is a saw of so fine a step that wide boards have too many stops, odd are lengths
// that combine in very many ways.
const fine = (step_mm) => ({ ...saw(), step_mm, max_skew_mm_per_m: 0, blades: Array.from({ length: 30 }, (_, i) => ({ moving: { min_mm: 40 * i, max_mm: 2000 } })) });
const odd = (n, value) => ({ kerf_mm: 3.1, lengths: Array.from({ length: n }, (_, i) => ({ length_mm: 301.37 + 57.731 * i, value: value * (1 + i * i / 50) })) });

const never = ['saw_name', 'more_orders', 'scrap', 'rules']; // fields that the page has no way to fill

// parts holds an example of each message, for fields that are put in.
const parts = (messages) => {
  const all = {};
  const see = (v, name) => {
    (all[name] ??= []).push(v);
    for (const [f, t] of Object.entries(messages[name])) if (t.kind === 'message' && v[f] !== undefined) [v[f]].flat().forEach((e) => see(e, t.holds));
  };
  return { all, see };
};

// drawer gives what makes drafts of a seed: {path, message, request, done}.
export function drawer(messages, messageOf, seed) {
  let state = (seed * 2654435761 + 12345) % 0x80000000;
  const random = () => {
    state = (state * 1103515245 + 12345) % 0x80000000;
    return (Math.floor(state / 64) * 64 % 1e6) / 1e6;
  };
  const pick = (list) => list[Math.floor(random() * list.length)], examples = parts(messages);
  for (const [path, make] of Object.entries(whole)) examples.see(make(), messageOf[path]);
  const numbers = (request) => [...JSON.stringify(request).matchAll(/:(-?[\d.]+)/g)].map((m) => Number(m[1]));
  const texts = (request) => [...JSON.stringify(request).matchAll(/:"([^"]*)"/g)].map((m) => m[1]);

  const sites = (v, name, path = '') => Object.entries(messages[name]).flatMap(([f, t]) => {
    const at = path ? `${path}.${f}` : f;
    return [{ v, f, t, at }, ...t.kind === 'message' && v[f] !== undefined ? [v[f]].flat().flatMap((e, i) => e && typeof e === 'object' ? sites(e, t.holds, t.list ? `${at}[${i}]` : at) : []) : []];
  });

  function number(t, now, request) {
    const b = t.number, near = pick([0, 1e-6, -1e-6, 1, -1, 4e-7, 6e-7]), have = typeof now === 'number' ? now : 0;
    const v = pick([b.least, b.most, b.least + near, b.most + near, 0, near, have + near, 2 * have, have / 2, -have, pick(numbers(request)) + near, pick(numbers(request)), 1e99, 2.5, 20, 0.05, 500, 25, Math.round(random() * 3000) / 10, Math.round(random() * 300)]);
    return b.whole && random() < 0.9 ? Math.round(v) : v;
  }

  const text = (request) => pick(['', 'knot', 'a'.repeat(64), 'a'.repeat(65), 'a'.repeat(128), 'a'.repeat(129), '🪵'.repeat(128), '🪵'.repeat(9), 'x', 'Red Alder', 'White Ash', pick(texts(request)), pick(texts(request)), pick(texts(request)), '\ud800']);

  function value(t, now, request) {
    if (t.kind === 'number') return number(t, now, request);
    if (t.kind === 'text') return text(request);
    if (t.kind === 'yes') return random() < 0.5;
    if (t.kind === 'word') return random() < 0.06 ? 'SOMETHING' : pick(t.words);
    return random() < 0.15 ? {} : structuredClone(pick(examples.all[t.holds] ?? [{}]));
  }

  function change(request, name) {
    const all = sites(request, name), { v, f, t, at } = pick(all);
    if (never.includes(f) || f === 'time_limit_ms' || f === 'simulations' || f === 'max_boards' && random() < 0.7) return '';
    if (random() < 0.12) {
      delete v[f];
      return `${at} gone`;
    }
    if (random() < 0.01) {
      v[`${f}x`] = 1;
      return `${at}x`;
    }
    if (t.oneof && random() < 0.7) for (const [o, u] of Object.entries(messages[name] ?? {})) if (u.oneof === t.oneof) delete v[o];
    if (t.list) list(v, f, t, request);
    else v[f] = value(t, v[f], request);
    return `${at} = ${JSON.stringify(v[f])?.slice(0, 60)}`;
  }

  function list(v, f, t, request) {
    const now = v[f] ??= [], act = random(), i = Math.floor(random() * now.length);
    if (act < 0.1) v[f] = [];
    else if (act < 0.3 && now.length) now.splice(i, 1);
    else if (act < 0.45 && now.length) now.splice(i, 0, structuredClone(now[i]));
    else if (act < 0.55) now.reverse();
    else if (act < 0.6 && t.entries.most <= 1000 && now.length) v[f] = Array.from({ length: t.entries.most + pick([0, 1]) }, () => structuredClone(now[i]));
    else if (act < 0.8 && now.length && t.kind !== 'message') now[i] = value(t, now[i], request);
    else now.push(value(t, undefined, request));
  }

  return () => {
    const path = pick(['/v1/boards:solve', '/v1/boards:solve', '/v1/boards:solve', '/v1/boards:check', '/v1/boards:draw', '/v1/orders:planValues', '/v1/orders:quote', '/v1/packs:tally']), message = messageOf[path], request = whole[path](), done = [];
    if (request.instructions && random() < 0.5) delete request.instructions;
    if (request.buy_list && random() < 0.5) delete request.buy_list;
    if (random() < 0.06 && request.order) {
      request.order.items[3].crosscut = odd(2 + Math.floor(random() * 12), random() < 0.5 ? 1 : 0.0001);
      done.push('lengths that combine');
    }
    if (random() < 0.06 && request.saw && !request.setting) {
      request.saw = fine(pick([0.01, 0.02, 0.05]));
      delete request.current_setting;
      delete request.instructions;
      if (request.board && random() < 0.5) request.board.stations[1].far_mm = pick([500, 1000, 1999]);
      done.push('a fine saw');
    }
    for (let n = Math.floor(random() * 4); n >= 0; n--) done.push(change(request, message));
    return { path, message, request, done };
  };
}
