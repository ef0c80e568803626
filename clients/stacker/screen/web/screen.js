// Shows what the stacker has to see, and nothing once it may be out of date.

const silence = 3000; // ms without a word, after which nothing is shown
const byID = (id) => document.getElementById(id);
const most = 12; // digits' breadths of a stack's name in a line
let heard = -Infinity, shown = '';

function element(tag, cls, text) {
  const e = document.createElement(tag);
  if (cls) e.className = cls;
  if (text !== undefined) e.textContent = text;
  return e;
}

function blank(state, says) {
  shown = '';
  document.body.dataset.state = state;
  byID('board').textContent = '';
  byID('says').textContent = says;
  byID('says').hidden = false;
  byID('row').hidden = true;
  byID('strips').replaceChildren();
  byID('next').hidden = true;
}

// one makes a strip's column: its stack, its width, its item.
function one(s, unit) {
  const li = element('li', s.waste ? 'waste' : s.style < 0 ? 'strip' : `strip colour${s.style % 8} pattern${s.style % 5}`);
  if (s.waste) {
    li.append(element('span', 'width', 'waste'), element('span', 'item', `${s.width} ${unit}`));
    return li;
  }
  const name = Math.max(breadth(s.stack), 1); // a long one has several lines
  li.classList.toggle('long', name > most);
  li.style.setProperty('--stack', Math.min(name, most));
  li.style.setProperty('--lines', name > most ? Math.ceil(name / most) + 1 : 1);
  li.append(element('span', 'band'), element('span', 'stack', s.stack || '?'), element('span', 'width', s.width), element('span', 'item', s.is ? `${s.item}, is ${s.is}` : s.item), full(s), element('span', 'band'));
  li.setAttribute('aria-label', `${s.item || 'strip'}, ${s.width} ${unit}, ${s.stack ? `stack ${s.stack}` : 'stack not known'}${!s.full ? '' : `, ${s.stack ? '' : 'item '}${s.full} per cent full`}`);
  return li;
}

// full shows how full a strip's stack is: a bar, and the same in per cent.
function full(s) {
  const e = element('span', 'full', !s.full ? '' : s.full === '100' ? 'full' : `${s.full} %`);
  e.hidden = !s.full;
  e.style.setProperty('--full', `${s.full || 0}%`);
  return e;
}

// breadth says how wide a text is, in digits, on the wide side.
const breadth = (text) => [...text].reduce((sum, c) => sum + (/[A-Zmw@%&]/.test(c) ? 1.4 : /[-ilj.,:;'|! /]/.test(c) ? 0.6 : c > '\u2e80' ? 1.6 : 1), 0);

function show(p) {
  const now = JSON.stringify(p);
  if (now === shown) return;
  if (p.strips.length === 0) blank(p.state, p.says);
  else {
    document.body.dataset.state = p.state;
    byID('board').textContent = `Board ${p.board}, widths in ${p.unit === 'in' ? 'inches' : 'mm'}`;
    byID('says').hidden = true;
    byID('row').hidden = false;
    byID('row').className = p.fence_left ? 'left' : 'right';
    const widest = Math.max(...p.strips.filter((s) => !s.waste).map((s) => breadth(s.width)), 1);
    byID('row').style.setProperty('--width', widest); // all widths in letters of one size
    byID('strips').replaceChildren(...p.strips.map((s) => one(s, p.unit)));
  }
  byID('next').hidden = p.next.length === 0;
  byID('next').textContent = `Next, as planned: ${p.next.map((s) => s.waste ? 'waste' : `${s.width} to ${s.stack || '?'}`).join(' · ')}`;
  shown = now;
}

// lost blanks the screen at once: what is on it may be wrong by now.
const lost = () => blank('lost', 'No connection');

function listen() {
  const events = new EventSource('/events');
  events.onmessage = (e) => {
    let p;
    try { p = JSON.parse(e.data); } catch { return; }
    heard = performance.now();
    show(p);
  };
  events.onerror = () => {
    heard = -Infinity;
    lost();
    if (events.readyState === EventSource.CLOSED) setTimeout(listen, 2000);
  };
}

setInterval(() => { if (performance.now() - heard > silence) lost(); }, 250);
byID('room').onclick = () => {
  const dark = document.documentElement.dataset.room ? document.documentElement.dataset.room === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches;
  document.documentElement.dataset.room = dark ? 'bright' : 'dark';
};
listen();
