// Shows what the stacker has to see, and nothing once it may be out of date.

const silence = 3000; // ms without a word, after which nothing is shown
const byID = (id) => document.getElementById(id);
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
  li.append(element('span', 'band'), element('span', 'stack', s.stack || '?'), element('span', 'width', s.width), element('span', 'item', s.item), element('span', 'band'));
  li.setAttribute('aria-label', `${s.item || 'strip'}, ${s.width} ${unit}, ${s.stack ? `stack ${s.stack}` : 'stack not known'}`);
  return li;
}

function show(p) {
  const now = JSON.stringify(p);
  if (now === shown) return;
  if (p.strips.length === 0) blank(p.state, p.says);
  else {
    document.body.dataset.state = p.state;
    byID('board').textContent = `Board ${p.board}, widths in ${p.unit}`;
    byID('says').hidden = true;
    byID('row').hidden = false;
    byID('row').className = p.fence_left ? 'left' : 'right';
    // Columns share the width, and letters fit the longest of what they hold.
    const longest = (of) => Math.max(...p.strips.filter((s) => !s.waste).map((s) => of(s).length), 1);
    const columns = p.strips.reduce((n, s) => n + (s.waste ? 0.5 : 1), 0);
    byID('row').style.setProperty('--columns', columns);
    byID('row').style.setProperty('--stack', longest((s) => s.stack));
    byID('row').style.setProperty('--width', longest((s) => s.width));
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
