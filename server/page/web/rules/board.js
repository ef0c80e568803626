// What has to hold between the fields of a board, and whether a saw takes it.

import { list, nm, some, whole } from './exact.js';
import { mm } from './say.js';

export function boardRules(b, path, faults) {
  if (!b) return void faults.add(path, 'is missing; a board is needed');
  const length = nm(b.length_mm), stations = list(b.stations), say = (field, says) => faults.beside(`${path}.${field}`, says);
  if (length <= 0) say('length_mm', `is ${mm(b.length_mm)}; must be above 0`);
  stations.forEach((st, i) => {
    const x = nm(st?.x_mm), near = nm(st?.near_mm), far = nm(st?.far_mm), at = `stations[${i}]`;
    if (length > 0 && x > length) say(`${at}.x_mm`, `is ${mm(st.x_mm)}; must lie on the board, 0 to ${mm(b.length_mm)}`);
    else if (i > 0 && x <= nm(stations[i - 1]?.x_mm)) say(`${at}.x_mm`, `is ${mm(st?.x_mm)}, not beyond the station before it at ${mm(stations[i - 1]?.x_mm)}; stations go in rising order of x`);
    if (far < near) say(`${at}.far_mm`, `is ${mm(st.far_mm)}, less than the near edge, ${mm(st.near_mm)}; the edges cross`);
    if (b.near_edge_straight && near !== 0) say(`${at}.near_mm`, `is ${mm(st.near_mm)}; must be 0 where the near edge is straight`);
  });
  if (stations.length && !stations.some((st) => nm(st?.near_mm) < nm(st?.far_mm))) say('stations', 'have no width anywhere; there is no wood to rip');
  list(b.defects).forEach((d, i) => {
    const at = `defects[${i}]`;
    for (const end of ['from_x_mm', 'to_x_mm']) if (length > 0 && nm(d?.[end]) > length) say(`${at}.${end}`, `is ${mm(d[end])}; must lie on the board, 0 to ${mm(b.length_mm)}`);
    for (const axis of ['x', 'y']) {
      const from = d?.[`from_${axis}_mm`], to = d?.[`to_${axis}_mm`];
      if (nm(to) <= nm(from)) say(`${at}.to_${axis}_mm`, `is ${mm(to)}, not beyond its beginning at ${mm(from)}`);
    }
  });
}

// span gives the least and the greatest y of a board's edges, in nm.
export function span(b) {
  const st = list(b?.stations);
  return [Math.min(...st.map((s) => nm(s?.near_mm))), Math.max(...st.map((s) => nm(s?.far_mm)))];
}

// fitRules is about a board that the saw does not take. Neither has a fault of its own.
export function fitRules(b, saw, path, faults) {
  const m = saw.limits ?? {}, width = Math.max(...list(b.stations).map((st) => nm(st.far_mm) - nm(st.near_mm)));
  const one = (field, what, v, least, most) => {
    if (least > 0 && v < least) faults.add(`${path}.${field}`, `is ${mm(v / 1e6)}${what}; the saw takes ${mm(least / 1e6)} and up`);
    if (most > 0 && v > most) faults.add(`${path}.${field}`, `is ${mm(v / 1e6)}${what}; the saw takes at most ${mm(most / 1e6)}`);
  };
  one('length_mm', '', nm(b.length_mm), nm(m.min_length_mm), some(m.max_length_mm));
  one('stations', ' at the widest', width, nm(m.min_width_mm), some(m.max_width_mm));
  if (b.thickness_mm !== undefined) one('thickness_mm', '', some(b.thickness_mm), nm(m.min_thickness_mm), some(m.max_thickness_mm));
}

const mostStops = 1e6;

// fineRules refuses a step so fine that the moving blades have too many stops over the
// wood, wide being in nm.
export function fineRules(wide, saw, faults) {
  const moving = list(saw.blades).filter((b) => b.moving).length, stops = whole(wide, nm(saw.step_mm)) * moving;
  if (stops > mostStops) faults.add('saw.step_mm', `is ${mm(saw.step_mm)}: ${moving} moving blades over ${mm(wide / 1e6)} of board have ${stops} stops; at most ${mostStops} are taken, so use a coarser step`);
}
