// Reads packs as CSV, as ripctl tally does: a row for each board or line of a tally,
// sizes all in inches and feet or all in millimetres.

const ofPack = { supplier: 'text', species: 'text', grade: 'text', nominal_thickness_in: 'number', price_per_mbf: 'number', tally_basis: 'basis', measured_basis: 'basis', scope: 'scope', min_width_mm: 'number', min_length_mm: 'number', scant_mm: 'number' };
const sizes = { inches: ['width_in', 'length_ft', 'thickness_in'], metric: ['width_mm', 'length_mm', 'thickness_mm'] };
const sized = [...sizes.inches, ...sizes.metric];
const of = { board: ['board_id', 'pieces', 'consumed', ...sized], count: ['pieces', ...sized.filter((n) => !n.startsWith('thickness'))], surface: ['surface_ft2', 'pieces'], total: ['board_feet'] };
const columns = ['pack_id', 'row', ...Object.keys(ofPack), ...new Set(Object.values(of).flat())];
const words = { basis: { gross: 'TALLY_BASIS_GROSS', net: 'TALLY_BASIS_NET' }, scope: { whole: 'TALLY_SCOPE_WHOLE_PACK', consumed: 'TALLY_SCOPE_CONSUMED_SO_FAR' }, consumed: { yes: true, no: undefined } };
const mostFaults = 200;

// readPacks gives the packs of a TallyPack request and what is wrong, by row; at finds
// the row and column of a path that the service names.
export function readPacks(text) {
  const faults = [], packs = new Map(), rows = cells(text.replace(/^\uFEFF/, ''), faults);
  const head = (rows.shift()?.cells ?? []).map((c) => clean(c).toLowerCase());
  head.forEach((name, i) => {
    if (name && !columns.includes(name)) faults.push(`row 1: ${name} is not a column; columns are ${columns.join(', ')}`);
    if (name && head.indexOf(name) !== i) faults.push(`row 1: ${name} is given twice`);
  });
  for (const need of ['pack_id', 'row', 'species', 'nominal_thickness_in']) if (!head.includes(need)) faults.push(`row 1: ${need} is missing; every file needs this column`);
  const metric = sizes.metric.some((n) => head.includes(n));
  if (metric && sizes.inches.some((n) => head.includes(n))) faults.push('row 1: sizes must be all in inches and feet or all in millimetres');
  if (faults.length) return { packs: [], faults };
  for (const { cells: raw, row } of rows) {
    const c = Object.fromEntries(raw.map((v, i) => [head[i] ?? '', clean(v)]).filter(([, v]) => v));
    if (Object.keys(c).length === 0) continue;
    take(packs, c, metric ? 'metric' : 'inches', (column, says) => faults.push(`row ${row}, ${column}: ${says}`));
    if (faults.length > mostFaults) break;
  }
  if (packs.size === 0 && faults.length === 0) faults.push('has no rows below its names');
  return { packs: [...packs.values()].map((p) => p.pack), faults };
}

function take(packs, c, unit, wrong) {
  const kind = (c.row ?? '').toLowerCase(), id = c.pack_id;
  if (!id) return wrong('pack_id', 'is blank; every row needs it');
  if (!of[kind]) return wrong('row', `is ${c.row ? `"${c.row}"` : 'blank'}; must be board, count, surface or total`);
  for (const name of Object.keys(c)) {
    if (name === '') wrong('a column without a name', `has ${c[name]}`);
    else if (name !== 'pack_id' && name !== 'row' && !ofPack[name] && !of[kind].includes(name)) wrong(name, `is not for a row of kind ${kind}`);
  }
  const number = (name) => numberOf(c[name], (says) => wrong(name, says));
  const word = (name, list) => {
    const text = c[name]?.toLowerCase();
    if (text !== undefined && !(text in list)) wrong(name, `is "${c[name]}"; must be ${Object.keys(list).join(' or ')}`);
    return list[text];
  };
  const need = (names) => names.filter((n) => c[n] === undefined).forEach((n) => wrong(n, `is blank; a row of kind ${kind} needs it`));
  let known = packs.get(id);
  if (!known) {
    for (const n of ['species', 'nominal_thickness_in']) if (!c[n]) wrong(n, 'is blank; the first row of a pack needs it');
    const pack = { pack_id: id, supplier: c.supplier, species: c.species, grade: c.grade, measured_basis: word('measured_basis', words.basis), scope: word('scope', words.scope), boards: [] };
    for (const [n, is] of Object.entries(ofPack)) if (is === 'number') pack[n] = number(n);
    known = { pack, first: c, basis: word('tally_basis', words.basis) };
    packs.set(id, known);
  } else {
    for (const n of Object.keys(ofPack)) if (c[n] !== undefined && c[n] !== known.first[n]) wrong(n, `is "${c[n]}"; the first row of the pack says "${known.first[n] ?? ''}"`);
  }
  const size = () => {
    const [wide, long, thick] = sizes[unit];
    need([wide, long]);
    return { [unit]: { [wide]: number(wide), [long]: number(long), [thick]: number(thick) } };
  };
  if (kind === 'board') return void known.pack.boards.push({ board_id: c.board_id, ...size(), pieces: number('pieces'), consumed: word('consumed', words.consumed) });
  const tally = known.pack.tally ??= { basis: known.basis };
  const form = { count: 'counts', surface: 'surfaces', total: 'board_feet' }[kind];
  if (Object.keys(tally).some((k) => k !== 'basis' && k !== form) || kind === 'total' && form in tally) return wrong('row', 'is a different kind of tally than the pack has; a pack has one total, or counts, or surfaces');
  need({ count: ['pieces'], surface: ['surface_ft2', 'pieces'], total: ['board_feet'] }[kind]);
  if (kind === 'total') tally.board_feet = number('board_feet') ?? 0;
  else (tally[form] ??= { lines: [] }).lines.push(kind === 'count' ? { ...size(), pieces: number('pieces') } : { surface_ft2: number('surface_ft2'), pieces: number('pieces') });
}

// numberOf reads a decimal or a fraction: 6.25, 25/4, 6-1/4. undefined: the cell is blank.
function numberOf(text, wrong) {
  if (text === undefined) return undefined;
  if (/^-?\d{1,15}(\.\d+)?$/.test(text)) return Number(text) < 0 ? wrong(`is ${text}; must not be below 0`) : Number(text);
  const m = /^(?:(\d{1,9})(?: +|-))?(\d{1,9})\/(\d{1,9})$/.exec(text);
  if (m && Number(m[3])) return Number(m[1] ?? 0) + m[2] / m[3];
  return wrong(`is "${text}"; must be a number such as 6.25 or 6-1/4; its unit is in the column's name`);
}

// clean takes off the spaces around a cell and the apostrophe by which spreadsheets
// keep text from being a formula.
const clean = (cell) => cell.trim().replace(/^'/, '').trim();

// cells splits CSV (RFC 4180) into rows, each with the line that it begins on. Between
// cells stands a comma, or the semicolon or tab that the first row has instead.
function cells(text, faults) {
  const head = text.slice(0, text.search(/[\r\n]|$/)), between = [',', ';', '\t'].find((s) => head.includes(s)) ?? ',';
  const rows = [];
  let row = [], cell = '', quoted = false, line = 1, began = 1;
  const end = () => {
    row.push(cell);
    if (row.length > 1 || row[0].trim()) rows.push({ cells: row, row: began });
    row = [];
    cell = '';
  };
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (c === '\n') line++;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') cell += text[++i];
      else quoted = false;
    } else if (c === '"' && cell === '') quoted = true;
    else if (c === between) {
      row.push(cell);
      cell = '';
    } else if (c === '\n') {
      end();
      began = line;
    } else if (c !== '\r') cell += c;
  }
  if (quoted) faults.push(`row ${began}: a quotation mark is not closed`);
  end();
  return rows;
}
