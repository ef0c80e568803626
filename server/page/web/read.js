// Reads the files that people drop on the page, those that ripctl reads: boards, an
// order, saws, lumber as YAML or JSON, packs as CSV, and what this page saved. Which
// fields there are is told by the service (words.json), so a file means the same here
// and there.

import { load as parseYAML } from './yaml/yaml.js';
import { quantity } from './quantity.js';
import { readPacks } from './packs.js';

export const most = 8 << 20; // bytes of a file; the service takes no request as large
const mostFaults = 12;

// Unreadable is a file in which something is wrong: a line for each fault.
export class Unreadable extends Error {
  constructor(name, faults) {
    super(`${name} cannot be used`);
    this.lines = faults.slice(0, mostFaults).map((f) => `${name}: ${f}`);
    if (faults.length > mostFaults) this.lines.push(`${name}: and ${faults.length - mostFaults} more`);
  }
}

// readFile gives {kind, value}. Kinds are boards, saws (lists), order, lumber, packs
// and work, which is what this page saves.
export function readFile(name, text, words) {
  if (text.trim() === '') throw new Unreadable(name, ['holds nothing']);
  if (/\.csv$/i.test(name) || /^\uFEFF?"?(pack_id|row)"?\s*[,;\t]/i.test(text)) return { kind: 'packs', value: packs(name, text) };
  const parsed = parse(name, text), first = Array.isArray(parsed) ? parsed[0] : parsed;
  if (first === null || typeof first !== 'object') throw new Unreadable(name, ['holds no board, order, saw, lumber or packs']);
  if (first.ripwright_work || 'order' in first && 'saw' in first) return { kind: 'work', value: first };
  const kind = kindOf(first);
  if (!kind) throw new Unreadable(name, [`is not a file for this page: an order has items, a saw blades, a board stations, lumber lots; this begins with ${Object.keys(first).slice(0, 4).join(', ')}`]);
  const faults = [], many = kind === 'board' || kind === 'saw', list = Array.isArray(parsed) ? parsed : [parsed];
  if (!many && list.length > 1) throw new Unreadable(name, [`has ${list.length} entries; a file has one order or one lumber`]);
  const read = list.map((v, i) => message(words, words.kinds[kind], v, list.length > 1 ? `${kind} ${i + 1}: ` : '', faults));
  if (faults.length) throw new Unreadable(name, faults);
  return many ? { kind: `${kind}s`, value: read } : { kind, value: read[0] };
}

function packs(name, text) {
  const { packs: value, faults } = readPacks(text);
  if (faults.length) throw new Unreadable(name, faults);
  return value;
}

// parse reads JSON, JSON lines or YAML.
function parse(name, text) {
  const lines = text.trim().split('\n').filter((l) => l.trim());
  try {
    if (/\.jsonl$/i.test(name) || lines.length > 1 && lines.slice(0, 2).every((l) => l.startsWith('{"'))) {
      return lines.map((l, i) => {
        try { return JSON.parse(l); } catch (e) { throw new Error(`line ${i + 1} is not JSON: ${e.message}`); }
      });
    }
    if (/\.json$/i.test(name)) return JSON.parse(text);
    return parseYAML(text);
  } catch (e) {
    const line = e.mark ? `line ${e.mark.line + 1}: ` : '';
    throw new Unreadable(name, [`${line}${e.reason ?? e.message}`]);
  }
}

function kindOf(v) {
  if ('items' in v) return 'order';
  if (v.blades?.some?.((b) => b !== null && typeof b === 'object')) return 'saw'; // a setting's are lengths
  if ('lots' in v) return 'lumber';
  if ('stations' in v) return 'board';
  return undefined;
}

// message turns one of a file into one of the interface.
function message(words, type, v, at, faults) {
  const fields = words.messages[type], out = {};
  if (v === null || typeof v !== 'object' || Array.isArray(v)) {
    faults.push(`${at.replace(/\.$/, '')} must have the fields ${names(fields).join(', ')}`);
    return out;
  }
  for (const [key, given] of Object.entries(v)) {
    const [name, w, withUnit] = find(fields, key);
    if (!w) faults.push(`${at}${key} is not a field here${near(key, names(fields))}`);
    else if (name in out) faults.push(`${at}${key} is given twice`);
    else if (given === null) faults.push(`${at}${key} is empty`);
    else out[name] = Array.isArray(given) ? given.map((one, i) => field(words, w, withUnit, one, `${at}${key}[${i}]`, faults)) : field(words, w, withUnit, given, `${at}${key}`, faults);
  }
  return out;
}

function field(words, w, withUnit, v, at, faults) {
  if (w.message) return message(words, w.message, v, `${at}.`, faults);
  if (withUnit) {
    try { return quantity(w.quantity, String(v)); } catch (e) { faults.push(`${at} is ${e.message}`); }
    return 0;
  }
  if (w.words) {
    const word = w.words[v] ?? (Object.values(w.words).includes(v) ? v : undefined);
    if (word === undefined) faults.push(`${at} is "${v}"; must be ${Object.keys(w.words).join(' or ')}`);
    return word;
  }
  if (w.quantity && typeof v !== 'number') faults.push(`${at} is "${v}"; must be a number. With a unit write ${w.alias}: ${v}`);
  else if (typeof v === 'object') faults.push(`${at} must be one value`);
  return v;
}

function find(fields, key) {
  if (Object.hasOwn(fields, key)) return [key, fields[key], false];
  for (const [name, w] of Object.entries(fields)) {
    if (w.json === key) return [name, w, false];
    if (w.alias && w.alias === key) return [name, w, true];
  }
  return [key, undefined, false];
}

const names = (fields) => Object.entries(fields).flatMap(([name, w]) => w.alias ? [name, w.alias] : [name]);

// near says which name was meant, if one is at most two letters away.
function near(key, all) {
  const best = all.map((n) => [distance(key, n), n]).sort((a, b) => a[0] - b[0])[0];
  return best && best[0] <= 2 ? `; did you mean ${best[1]}?` : `; fields are ${all.join(', ')}`;
}

function distance(a, b) {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= Math.min(a.length, 64); i++) {
    row = row.reduce((next, up, j) => [...next, j === 0 ? i : Math.min(next[j - 1] + 1, up + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1))], []);
  }
  return row[b.length];
}
