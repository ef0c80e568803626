// What has to hold between the fields of packs and their tallies.

import { list, round } from './exact.js';

const inch = 25.4e6, foot = 12 * inch, mm = 1e6; // nm
const mostEntries = 50000, mostPieces = 1e6;
let known = new Set();

export const takeSpecies = (names) => { known = new Set(names.map((n) => n.toLowerCase())); };

export function packRules(request, faults) {
  const packs = list(request.packs), names = new Map();
  const entries = packs.reduce((n, p) => n + list(p.boards).length + list(p.tally?.counts?.lines).length + list(p.tally?.surfaces?.lines).length, 0);
  if (entries > mostEntries) return faults.beside('packs', `have ${entries} boards and lines in all; at most ${mostEntries} are taken`);
  for (const end of ['from_percent', 'to_percent']) if (request.moisture && request.moisture[end] === undefined) faults.add(`moisture.${end}`, 'is missing');
  packs.forEach((p, i) => {
    const at = `packs[${i}]`;
    if (p.pack_id && names.has(p.pack_id)) faults.add(`${at}.pack_id`, `is that of pack ${names.get(p.pack_id) + 1} too; every pack needs a name of its own`);
    else names.set(p.pack_id, i);
    if (p.species && !known.has(p.species.toLowerCase())) faults.add(`${at}.species`, `is "${p.species.slice(0, 60)}", which is not known; must be ${[...known].join(', ')}`);
    if (!p.tally && list(p.boards).length === 0) faults.add(at, 'has neither boards nor a tally; one of them is needed');
    some(p.nominal_thickness_in, inch, `${at}.nominal_thickness_in`, faults);
    some(p.min_width_mm, mm, `${at}.min_width_mm`, faults);
    some(p.min_length_mm, mm, `${at}.min_length_mm`, faults);
    sizes(list(p.boards), `${at}.boards`, faults);
    if (!p.tally) return;
    if (p.tally.board_feet === undefined && !p.tally.counts && !p.tally.surfaces) faults.add(`${at}.tally`, 'is empty; give a total, counts or surfaces');
    list(p.tally.counts?.lines).forEach((l, k) => {
      if (l.inches?.thickness_in !== undefined || l.metric?.thickness_mm !== undefined) faults.add(`${at}.tally.counts.lines[${k}]`, 'has a thickness; the lines of a tally have that of the pack');
    });
    sizes(list(p.tally.counts?.lines), `${at}.tally.counts.lines`, faults);
    pieces(list(p.tally.surfaces?.lines), `${at}.tally.surfaces.lines`, faults);
  });
}

// some refuses what is above 0 and rounds to nothing.
function some(v, of, path, faults) { if (v > 0 && round(v * of) === 0) faults.beside(path, `is ${v}, which is too small`); }

function pieces(lines, at, faults) {
  const sum = lines.reduce((n, l) => n + (l.pieces ?? 1), 0);
  if (sum > mostPieces) faults.beside(at, `have ${sum} pieces; at most ${mostPieces} are taken`);
}

function sizes(lines, at, faults) {
  let first;
  lines.forEach((l, i) => {
    const unit = ['inches', 'metric', 'profile'].find((u) => l[u]), path = `${at}[${i}]`;
    if (!unit) return void faults.add(path, 'has no size');
    first ??= unit;
    if ((unit === 'inches') !== (first === 'inches')) faults.add(`${path}.${unit}`, 'is in other units than the entries before it; one list must be in one unit');
    for (const [name, of] of [['width_in', inch], ['length_ft', foot], ['thickness_in', inch]]) some(l.inches?.[name], of, `${path}.inches.${name}`, faults);
    for (const name of ['width_mm', 'length_mm', 'thickness_mm']) some(l.metric?.[name], mm, `${path}.metric.${name}`, faults);
  });
  pieces(lines, at, faults);
}
