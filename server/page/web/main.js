// Puts the page together: views, theme, units, token.

import { byID, h } from './dom.js';
import { begin, load, forgetToken, facts } from './call.js';
import { setUnits, units } from './units.js';
import { changed } from './job.js';
import { BoardView } from './board-view.js';
import { packView } from './pack-view.js';
import { quoteView } from './quote-view.js';
import { tallyView } from './tally-view.js';
import { choice, work } from './kept.js';
import { keepInView } from './in-view.js';
import { takeLimits } from './refuse.js';
import * as hand from './hand.js';

function switches(name, choices, now, take) {
  const all = [...byID(name).querySelectorAll('button')];
  const set = (v) => {
    all.forEach((b) => b.setAttribute('aria-pressed', String(b.value === v)));
    take(v);
  };
  all.forEach((b) => { b.onclick = () => { choice.set(name, b.value); set(b.value); }; });
  set(choices.includes(now) ? now : choices[0]);
}

switches('theme', ['auto', 'bright', 'dark'], choice.get('theme'), (v) => { document.documentElement.dataset.theme = v; });
switches('units', ['mm', 'in'], choice.get('units'), (v) => { if (v !== units()) setUnits(v); });

const views = ['board', 'pack', 'quote', 'tally'];
const shown = {};

function route() {
  const named = /^#(\w+)/.exec(location.hash)?.[1], view = views.includes(named) ? named : 'board';
  for (const v of views) {
    byID(v).hidden = v !== view;
    const link = byID(`to-${v}`);
    if (v === view) link.setAttribute('aria-current', 'page');
    else link.removeAttribute('aria-current');
  }
  // The order is edited in one place, which goes where it is looked at.
  const place = byID(view === 'pack' ? 'pack-order' : 'board-order'), order = byID('edit-order');
  if (order.parentElement !== place) place.append(order); // else the focus in it would be lost
  shown[view]?.();
}

addEventListener('hashchange', route);
byID('token-again').onclick = () => { forgetToken(); changed(); };

try {
  await begin();
  byID('token-again').hidden = !facts().tokens;
  takeLimits(await load('/page/limits.json'));
  const mill = await load('/page/mill.json');
  // Without leave to see the plant's saws the demo's are there to try.
  const saws = await load('/page/saws.json').catch(() => []);
  const board = new BoardView(mill, saws);
  keepInView(byID('drawing-room'), document.querySelector('.editors'), () => board.redraw());
  await hand.begin(mill);
  Object.assign(shown, { board: () => board.redraw(), pack: packView(mill).shown, quote: quoteView().shown, tally: tallyView().shown });
  document.documentElement.dataset.ready = '';
} catch (e) {
  work.forget(); // whatever it was, loading the page again begins anew
  byID('verdict').replaceChildren(h('strong', {}, 'The page could not start: '), e.message);
}
route();
