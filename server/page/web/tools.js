// The tools above the drawing: which board and saw, what is compared, the request
// and the picture.

import { h, byID, speak } from './dom.js';
import { job, changed, replace } from './job.js';
import { call } from './call.js';
import { taken } from './refuse.js';
import { showRequest } from './request.js';

// saws lets people begin with a saw of the service's or the demo's, and takes the
// demo's second.
export function saws(mill, named, taken) {
  const all = [...named.map((v) => ['this service', v]), ...mill.saws.map((v) => ['demo mill', v])];
  const select = byID('which-saw');
  select.append(...all.map(([where, v]) => h('option', {}, `${v.name} (${where})`)));
  select.onchange = () => {
    taken();
    replace('saw', all[select.selectedIndex][1]);
  };
  select.selectedIndex = named.length + 1;
  replace('saw', mill.saws[1]);
}

// comparing keeps a plan and lets it go.
export function comparing(view) {
  byID('keep').onclick = () => {
    view.kept = { name: 'kept', plan: structuredClone(view.plan()), order: structuredClone(job.order) };
    speak('The plan is kept, and tables compare with it.');
    view.redraw();
    view.results();
  };
  byID('drop').onclick = () => {
    view.kept = null;
    view.redraw();
    view.results();
  };
}

// calls shows the request that the page would send, and fetches the picture.
export function calls(view) {
  byID('request').onclick = () => {
    const check = view.setting.on;
    showRequest({
      title: check ? 'Check this setting' : 'Rip this board', path: view.path(),
      rpc: `ripwright.v1.RipService/${check ? 'CheckPlan' : 'SolveBoard'}`, body: view.body(),
      use: check ? null : (given) => {
        const { board = {}, saw = {}, current_setting = {}, order, options = {}, ...rest } = taken(given, 'SolveBoardRequest');
        if (Object.keys(rest).length) throw new Error(`this page does not use ${Object.keys(rest).join(', ')}`);
        Object.assign(job, { board, saw, current_setting, order: { items: [], ...order }, options });
        changed(true);
      },
    });
  };
  byID('picture').onclick = async () => {
    const { setting } = view.plan();
    try {
      const { value } = await call('/v1/boards:draw', { board: job.board, saw: job.saw, order: job.order, setting });
      h('a', { href: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(value.svg)}`, download: `${job.board.board_id || 'board'}.svg` }).click();
    } catch (error) {
      view.show({ error });
    }
  };
}

// undoing steps back and forth through what people changed, by buttons and by keys; in a
// field of text the keys are the field's own.
export function undoing(history) {
  byID('undo').onclick = () => history.go(-1);
  byID('redo').onclick = () => history.go(1);
  addEventListener('keydown', (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey || byID('board').hidden || document.querySelector('dialog[open]') || e.target.matches?.('textarea, input[type=text]')) return;
    const key = e.key.toLowerCase(), by = key === 'z' ? e.shiftKey ? 1 : -1 : key === 'y' ? 1 : 0;
    if (!by) return;
    e.preventDefault();
    history.go(by);
  });
}
