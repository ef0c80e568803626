// What people brought: boards, an order, a saw, lumber, packs, by dropping files or
// choosing them, or by a link. What was there to begin with is the demo's. All of it
// can be saved as one file, and what fits a link goes as one.

import { h, byID, button, speak } from './dom.js';
import { load } from './call.js';
import { job, changed, replace } from './job.js';
import { readFile, most } from './read.js';
import { taken } from './refuse.js';
import { packed, unpacked, longest } from './link.js';
import { many } from './units.js';

const watchers = new Set();
const mostBoards = 2000; // that lumber may list

// hand is what is at hand beside the job; own tells boards of one's own from the demo's.
export const hand = { boards: [], own: false, saws: [], lumber: null, packs: null, quote: null, asked: () => null };
export const onHand = (w) => watchers.add(w);
const tell = (kind) => watchers.forEach((w) => w(kind));

export const boardsName = () => hand.own ? `your ${hand.boards.length} boards` : `the ${hand.boards.length} boards of the demo pack, which is invented`;

// fit takes what was brought only as far as it fits the interface.
const fit = {
  boards: (v) => v.map((b) => taken(b, 'Board')), saws: (v) => v.map((s) => taken(s, 'Saw')), order: (v) => ({ items: [], ...taken(v, 'CutOrder') }), lumber: (v) => taken(v, 'Lumber'), packs: (v) => v,
  work: ({ board, saw, order, options, current_setting, boards, lumber, quote }) => Object.fromEntries(Object.entries({
    board: board && { stations: [], ...taken(board, 'Board') }, saw: saw && { blades: [], ...taken(saw, 'Saw') }, order: order && fit.order(order), options: options && taken(options, 'SolveOptions'),
    current_setting: current_setting && taken(current_setting, 'Setting'), boards: boards?.map && fit.boards(boards), lumber: lumber && taken(lumber, 'Lumber'), quote }).filter(([, v]) => v)),
};

const takes = {
  boards: (v) => {
    if (v.length > mostBoards) throw new Error(`has ${v.length} boards; this page takes ${mostBoards} at once`);
    hand.boards = v.map((b, i) => ({ ...b, board_id: b.board_id || `board ${i + 1}` }));
    hand.own = true;
    return many(v.length, 'board');
  },
  order: (v) => {
    replace('order', v);
    return `order ${v.order_id || 'without a name'} with ${many(v.items.length, 'item')}`;
  },
  saws: (v) => {
    hand.saws = v;
    replace('saw', v[0]);
    return v.length > 1 ? `${v.length} saws; ${v[0].name || 'the first'} is set up` : `saw ${v[0].name || 'without a name'}`;
  },
  lumber: (v) => {
    hand.lumber = v;
    return `lumber of ${many(v.lots.length, 'lot')}`;
  },
  packs: (v) => {
    hand.packs = v;
    return many(v.length, 'pack');
  },
  work: (v) => {
    if (Array.isArray(v.boards) && v.boards.length) takes.boards(v.boards);
    for (const part of ['board', 'saw', 'order', 'options', 'current_setting']) if (v[part]) job[part] = structuredClone(v[part]);
    hand.lumber = Array.isArray(v.lumber?.lots) ? v.lumber : null;
    hand.quote = v.quote ?? null;
    changed(true);
    return 'saved work';
  },
};

let words;

// take reads files and takes what they hold; of a file with a fault it takes nothing.
async function take(files) {
  const told = [], faults = [], kinds = [];
  for (const f of files) {
    try {
      words ??= await load('/page/words.json');
      if (f.size > most) throw new Error(`has ${(f.size / 1e6).toFixed(0)} MB; at most ${most >> 20} MB are taken`);
      const { kind, value } = readFile(f.name, await f.text(), words);
      told.push(takes[kind](fit[kind](value)));
      kinds.push(kind);
    } catch (e) {
      faults.push(...e.lines ?? [`${f.name} ${e.message}`]);
    }
  }
  kinds.forEach(tell);
  if (kinds.length && kinds.every((k) => k === 'packs')) location.hash = 'tally';
  say(told, faults);
}

function say(told, faults) {
  const room = byID('taken');
  room.className = faults.length ? 'verdict bad' : 'verdict good';
  room.hidden = false;
  room.replaceChildren(
    ...told.length ? [h('p', {}, `Opened: ${told.join('; ')}.`)] : [],
    ...faults.length ? [h('p', {}, 'Files with faults were not opened:'), h('ul', {}, faults.map((f) => h('li', {}, f)))] : [],
    button('Close', () => { room.hidden = true; }, { class: 'small' }));
  speak(faults.length ? `${faults.length} faults in files` : `Opened: ${told.join('; ')}`);
}

// work is all that would have to be sent to somebody else to see the same.
const work = (boards) => ({ ripwright_work: 1, board: job.board, saw: job.saw, order: job.order, options: job.options, current_setting: job.current_setting,
  boards: boards && hand.own ? hand.boards : undefined, quote: hand.asked() });

function save() {
  const url = URL.createObjectURL(new Blob([`${JSON.stringify(work(true), null, 1)}\n`], { type: 'application/json' }));
  h('a', { href: url, download: `${(job.order.order_id || 'order').replace(/[^\w.-]+/g, '-')}.json` }).click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

async function link() {
  const dialog = byID('request-dialog'), said = h('p', { class: 'said', role: 'status' });
  const view = /^#(\w+)/.exec(location.hash)?.[1] ?? 'board';
  const fragment = `${view}/${await packed(work(true))}`;
  const fits = fragment.length <= longest, url = `${location.origin}/#${fragment}`;
  const text = h('textarea', { readonly: true, 'aria-label': 'the link', spellcheck: 'false' });
  text.value = url;
  dialog.replaceChildren(
    h('h2', { id: 'request-title' }, fits ? 'A link to this work' : 'Too large for a link'),
    h('p', {}, fits ? 'The link contains board, saw, order and options after the #, which browsers send to no server. It shows the same to anyone who can use this service.'
      : `The link would have ${(fragment.length / 1024).toFixed(0)} kB; a link holds at most ${longest / 1024} kB. Save the work as a file and send that; this page opens it.`),
    said, fits ? text : '', h('div', { class: 'tools' },
      fits ? button('Copy', async () => {
        try { await navigator.clipboard.writeText(url); } catch { text.select(); document.execCommand('copy'); }
        said.textContent = 'Copied.';
      }, { class: 'main' }) : button('Save as a file', () => { save(); dialog.close(); }, { class: 'main' }),
      button('Close', () => dialog.close())));
  dialog.showModal();
}

// fromLink takes what the address carries, and leaves the view alone in it.
async function fromLink() {
  const [, view, rest] = /^#(\w+)\/(.+)$/.exec(location.hash) ?? [];
  if (!rest) return;
  history.replaceState(null, '', `#${view}`);
  try {
    takes.work(fit.work(await unpacked(rest) ?? {}));
    tell('work');
    say(['the work in the link'], []);
  } catch (e) {
    say([], [`The link cannot be used: ${e.message}`]);
  }
}

// begin listens for files that are dropped or chosen.
export async function begin(mill) {
  hand.boards = mill.boards;
  const choose = byID('files');
  choose.onchange = async () => {
    await take([...choose.files]);
    choose.value = '';
  };
  byID('open-files').onclick = () => choose.click();
  byID('save').onclick = save;
  byID('link').onclick = link;
  const over = (on) => document.documentElement.classList.toggle('dropping', on);
  addEventListener('dragover', (e) => {
    if (![...e.dataTransfer.types].includes('Files')) return;
    e.preventDefault();
    over(true);
  });
  addEventListener('dragleave', (e) => { if (!e.relatedTarget) over(false); });
  addEventListener('drop', (e) => {
    over(false);
    if (!e.dataTransfer.files.length) return;
    e.preventDefault();
    take([...e.dataTransfer.files]);
  });
  addEventListener('hashchange', fromLink);
  await fromLink();
}
