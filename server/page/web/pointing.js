// Adds a defect: where the wood is pointed at next, or by keys in its middle.

import { byID, speak } from './dom.js';
import { changed } from './job.js';
import { addDefect } from './editor-board.js';

// pointing listens on the drawing; frame gives its frame and at the place of an
// event on it.
export function pointing(svg, frame, at) {
  const add = byID('add-defect');
  let on = false;
  const set = (to) => {
    on = to;
    add.setAttribute('aria-pressed', String(on));
    svg.classList.toggle('pointing', on);
  };
  const added = (i) => {
    changed(true);
    svg.querySelector(`[data-key=defect${i}]`)?.focus();
    speak(`Defect ${i + 1} added. Arrows move it, with Shift they change its size.`);
  };
  add.onclick = (e) => {
    if (e.detail === 0) added(addDefect()); // by a key
    else set(!on);
  };
  svg.addEventListener('pointerdown', (e) => {
    const f = frame();
    if (!on || !f || e.button !== 0) return;
    e.preventDefault();
    e.stopPropagation(); // a handle may lie there
    const to = at(e);
    set(false);
    if (to.x >= 0 && to.x <= f.length) added(addDefect(to.x, to.y - f.off(to.x)));
  }, { capture: true });
}
