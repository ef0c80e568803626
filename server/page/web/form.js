// Builds fields that edit an object of the interface in place, each known by its
// path, and shows beside a field what is wrong with it.

import { h, button } from './dom.js';
import { get, put } from './job.js';
import { kinds, onUnits } from './units.js';
import { ofField } from './fault-words.js';
import { readable } from './path-words.js';

const fields = new Map(); // by path: {input, show, fault, forget}
let count = 0;

// A form edits root and tells of changes by tell(shape).
export class Form {
  constructor(root, tell) {
    this.root = root;
    this.tell = tell;
  }

  // field makes a labelled field of a kind of quantity, or of text.
  field(path, label, kind = 'number', more = {}) {
    const k = kinds[kind];
    const input = h('input', { type: 'text', autocomplete: 'off', spellcheck: 'false', inputmode: k && kind !== 'length' && kind !== 'long' ? 'decimal' : null });
    const show = () => {
      const v = get(path, this.root);
      input.value = v === undefined || v === null ? '' : k ? k.write(v) : Array.isArray(v) ? v.join(', ') : v;
      input.dataset.shown = input.value;
    };
    const take = () => {
      if (input.value === input.dataset.shown && !own.unread) return;
      const v = read(input.value, k, kind);
      own.unread = v === null;
      if (v === null) {
        own.say(`cannot be read; write ${k.such()}`);
        this.tell(false);
        return;
      }
      own.say('');
      input.dataset.shown = input.value;
      const before = get(path, this.root);
      put(path, v, this.root);
      more.then?.(before);
      this.tell(more.shape ?? false);
    };
    input.addEventListener('input', take);
    input.addEventListener('change', () => { if (!own.unread) show(); });
    const own = this.frame(path, label, input, show, () => k?.unit() ?? '', more);
    return own.element;
  }

  // choice makes a list to choose from: pairs of a value and what it is called.
  choice(path, label, options, more = {}) {
    const input = h('select', {}, options.map(([v, text]) => h('option', { value: v }, text)));
    const show = () => { input.value = more.now ? more.now() : get(path, this.root) ?? options[0][0]; };
    input.addEventListener('change', () => {
      if (more.take) more.take(input.value);
      else put(path, input.value, this.root);
      this.tell(more.shape ?? false);
    });
    return this.frame(path, label, input, show, () => '', more).element;
  }

  check(path, label) {
    const input = h('input', { type: 'checkbox' });
    const show = () => { input.checked = get(path, this.root) === true; };
    input.addEventListener('change', () => {
      put(path, input.checked || undefined, this.root);
      this.tell(false);
    });
    return this.frame(path, label, input, show, () => '', { box: true }).element;
  }

  frame(path, label, input, show, unit, more) {
    const id = `f${count++}`;
    const fault = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    const unitText = h('span', { class: 'unit' });
    const named = h('label', { for: id, class: more.bare ? 'unseen' : null }, label, ' ', unitText);
    input.id = id;
    input.dataset.path = path;
    const own = {
      input, path, label, unread: false,
      say(text) {
        fault.textContent = text;
        fault.hidden = text === '';
        if (text) {
          input.setAttribute('aria-invalid', 'true');
          input.setAttribute('aria-describedby', fault.id);
        } else {
          input.removeAttribute('aria-invalid');
          input.removeAttribute('aria-describedby');
        }
      },
      refresh(units) {
        if (own.unread && !units || !units && document.activeElement === input && input.type === 'text') return;
        unitText.textContent = unit();
        own.unread = false;
        show();
      },
    };
    own.element = h('div', { class: more.box ? 'field box' : more.bare ? 'field bare' : 'field' },
      more.box ? [input, named] : [named, input], fault);
    own.refresh(true);
    fields.set(path, own);
    return own;
  }
}

// read gives what a text means: undefined for nothing, null for what has no meaning.
function read(text, k, kind) {
  const t = text.trim();
  if (t === '') return undefined;
  if (kind === 'words') return t.split(',').map((w) => w.trim()).filter((w) => w);
  return k ? k.read(t) : text;
}

// refresh writes what changed elsewhere into the fields, and drops those that are
// gone from the page.
export function refresh(units = false) {
  for (const [path, own] of fields) {
    if (!own.input.isConnected) fields.delete(path);
    else own.refresh(units);
  }
}

onUnits(() => refresh(true));

// unread reports whether any field holds what cannot be read.
export function unread(starts) {
  return [...fields.values()].some((own) => own.unread && own.input.isConnected && starts.some((p) => own.path.startsWith(p)));
}

const wholeJobs = ['board', 'saw', 'order'];

// place shows faults beside the fields that they name, or the nearest one above,
// and gives the list of them with a way to each. Faults of starts that are no
// longer so are taken away.
export function place(faults, starts) {
  for (const own of fields.values()) {
    if (!own.unread && starts.some((p) => own.path.startsWith(p))) own.say('');
  }
  const said = new Map();
  const list = faults.map((f) => {
    const own = nearest(f.path);
    if (own && !own.unread) {
      const text = own.path === f.path ? f.says : `${readable(f.path.slice(own.path.length))} ${f.says}`;
      said.set(own, said.has(own) ? `${said.get(own)}; ${text}` : text);
    }
    const text = `${own?.path === f.path ? ofField(f.path, own.label) : readable(f.path)} ${f.says}`;
    return h('li', {}, own ? button(text, () => reveal(own.input), { class: 'plain' }) : text);
  });
  said.forEach((text, own) => own.say(text));
  return list;
}

function nearest(path) {
  for (let p = path; p; p = p.slice(0, Math.max(p.lastIndexOf('.'), p.lastIndexOf('['), 0))) {
    const own = fields.get(p) ?? first(p);
    if (own?.input.isConnected) return own;
    if (wholeJobs.includes(p)) return null;
  }
  return null;
}

// first finds a field within a part that is no field itself.
function first(path) {
  for (const [p, own] of fields) if (p.startsWith(`${path}.`) && path.includes('.') && own.input.isConnected) return own;
  return undefined;
}

// reveal opens what hides a field and goes there.
export function reveal(input) {
  for (let e = input.parentElement; e; e = e.parentElement) {
    if (e.tagName === 'DETAILS') e.open = true;
    if (e.dataset.view) location.hash = e.dataset.view;
  }
  requestAnimationFrame(() => { input.scrollIntoView({ block: 'center' }); input.focus(); });
}

// rebuild fills a place anew and puts the focus back on the field that had it.
export function rebuild(place, make) {
  const path = place.contains(document.activeElement) ? document.activeElement.dataset.path : undefined;
  const open = new Set([...place.querySelectorAll('details[open]')].map((d) => d.dataset.key));
  place.replaceChildren(...[make()].flat(Infinity).filter((e) => e));
  place.querySelectorAll('details').forEach((d) => { if (open.has(d.dataset.key)) d.open = true; });
  refresh();
  if (path && fields.get(path)?.input.isConnected) fields.get(path).input.focus();
}

