// What the service's schema says of single fields: which there are, what they hold, and
// between what it may lie. The service tells it (limits.json).

import { shown, writer } from './say.js';

let messages = {};

export const takeLimits = (table) => { messages = table; };
export const limitOf = (message, field) => messages[message]?.[field];

export function outside(v, b) {
  return !Number.isFinite(v) || v < b.least || v > b.most || b.above && v <= b.least || b.whole && v !== Math.trunc(v);
}

// wanted writes a range in the unit system that people see.
function wanted(b, write) {
  if (write === shown) return b.says;
  return b.above ? `above ${write(b.least)} and at most ${write(b.most)}` : `${write(b.least)} to ${write(b.most)}`;
}

// shape adds what is wrong with the fields of a message, one by one.
export function shape(value, message, path, faults) {
  const fields = messages[message] ?? {}, below = (name) => path ? `${path}.${name}` : name, given = {};
  for (const name of Object.keys(value)) if (!fields[name] && value[name] !== undefined) faults.misfit(below(name), 'is not a field here');
  for (const [name, t] of Object.entries(fields)) {
    const v = value[name] ?? undefined, at = below(name);
    if (t.list) many(v, t, name, at, faults);
    else if (v !== undefined) one(v, t, name, at, faults);
    else if (!t.optional) absent(t, name, at, faults);
    if (v === undefined || !t.oneof) continue;
    if (given[t.oneof]) faults.add(at, `cannot be given together with ${given[t.oneof]}; give one of them`);
    given[t.oneof] = name;
  }
}

function many(v, t, name, at, faults) {
  if (v !== undefined && !Array.isArray(v)) return void faults.misfit(at, 'must be a list');
  const n = v?.length ?? 0;
  if (t.entries && outside(n, t.entries)) return void faults.add(at, n === 0 ? 'is empty; at least one is needed' : `has ${n} entries; must have ${t.entries.says}`);
  v?.forEach((e, i) => one(e, t, name, `${at}[${i}]`, faults));
}

// absent is about a field that counts as 0 or as no text where it is left out.
function absent(t, name, at, faults) {
  if (t.number && outside(0, t.number)) faults.add(at, `is missing; must be ${wanted(t.number, writer(name))}`);
  else if (t.characters && outside(0, t.characters)) faults.add(at, `is empty; must have ${t.characters.says} characters`);
}

const types = { number: ['number', 'a number'], text: ['string', 'a text'], yes: ['boolean', 'true or false'], word: ['string', 'a word'], message: ['object', 'an object with fields'] };

function one(v, t, name, at, faults) {
  const [type, what] = types[t.kind] ?? types.message;
  if (v === null || typeof v !== type || Array.isArray(v)) return void faults.misfit(at, `must be ${what}`);
  if (t.kind === 'message') return shape(v, t.holds, at, faults);
  if (t.number && outside(v, t.number)) {
    const write = writer(name);
    return void faults.add(at, `is ${write(v)}; must be ${wanted(t.number, write)}`);
  }
  if (t.words && !t.words.includes(v)) return void faults.add(at, `is "${v.slice(0, 40)}"; must be ${t.words.slice(1).join(' or ')}`);
  if (t.kind !== 'text') return;
  const n = [...v].length;
  if (!v.isWellFormed()) faults.add(at, 'ends in half a character');
  else if (t.characters && outside(n, t.characters)) faults.add(at, n === 0 ? `is empty; must have ${t.characters.says} characters` : `has ${n} characters; must have ${t.characters.says}`);
}

// canonical gives a message as the page has it, from any way in which JSON may write it:
// fields by their JSON names too, numbers as texts. What cannot be told is left as it is.
export function canonical(value, message) {
  const fields = messages[message];
  if (!fields || value === null || typeof value !== 'object' || Array.isArray(value)) return value;
  const plain = (v, t) => {
    if (t?.kind === 'message') return canonical(v, t.holds);
    return t?.kind === 'number' && typeof v === 'string' && /^-?\d+(\.\d+)?([eE][-+]?\d+)?$/.test(v) ? Number(v) : v;
  };
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== null).map(([name, v]) => {
    const own = fields[name] ? name : Object.keys(fields).find((f) => fields[f].json === name) ?? name, t = fields[own];
    return [own, Array.isArray(v) ? v.map((e) => plain(e, t)) : plain(v, t)];
  }));
}
