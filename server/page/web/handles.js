// What can be taken hold of in the drawing: edges at their stations, defects, and
// blades. Everything has a way by keys: arrows nudge, with Shift further; left and
// right go to the next one of a row.

import { s, speak } from './dom.js';
import { job, changed } from './job.js';
import { snap, nudge, width, bareWidth } from './units.js';
import { standLabels } from './labels.js';

const mostHandles = 24; // of an edge
export const mostDefects = 60; // that can be taken hold of

// Handles keeps its elements while one is held, so that pointer and focus stay.
export class Handles {
  // svg is drawn into; frame gives its frame; mine tells of a setting of one's own
  // that blades can be moved in: {on, move(index, mm)}.
  constructor(svg, frame, mine) {
    this.svg = svg;
    this.frame = frame;
    this.mine = mine;
    this.layer = s('g', {});
    this.held = false;
    this.shape = '';
    this.all = [];
  }

  // update puts handles where things are, and makes new ones if there are others.
  update(plan) {
    this.plan = plan;
    const f = this.frame();
    if (!f) {
      this.layer.replaceChildren();
      this.shape = '';
      return;
    }
    const st = job.board.stations, blades = plan?.setting?.blades_mm?.length ?? 0;
    const shape = [st.length, job.board.defects?.length ?? 0, blades, this.mine.on(), job.board.near_edge_straight].join();
    if (shape !== this.shape) this.make(shape, st, blades);
    this.all.forEach((place) => place(f));
  }

  make(shape, st, blades) {
    const focus = this.layer.contains(document.activeElement) ? document.activeElement.dataset.key : undefined;
    this.shape = shape;
    this.all = [];
    this.layer.replaceChildren();
    const every = Math.ceil(st.length / mostHandles);
    const shown = st.map((_, i) => i).filter((i) => i % every === 0 || i === st.length - 1);
    for (const side of job.board.near_edge_straight ? ['far'] : ['near', 'far']) this.row(shown.map((i, n) => this.edge(i, side, shown, n)));
    (job.board.defects ?? []).slice(0, mostDefects).forEach((_, i) => this.defect(i));
    const movable = [...Array(blades).keys()].filter((i) => this.mine.on() || job.saw.blades?.[i]?.moving === undefined);
    this.labels(blades);
    this.row(movable.map((i) => this.blade(i)));
    if (focus) [...this.layer.querySelectorAll('[data-key]')].find((e) => e.dataset.key === focus)?.focus();
  }

  // row makes a list of handles one stop of the Tab key.
  row(handles) {
    handles.forEach((e, i) => {
      e.setAttribute('tabindex', i === 0 ? 0 : -1);
      e.addEventListener('focus', () => handles.forEach((o) => o.setAttribute('tabindex', o === e ? 0 : -1)));
      e.addEventListener('keydown', (event) => {
        const to = { ArrowLeft: i - 1, ArrowRight: i + 1, Home: 0, End: handles.length - 1 }[event.key];
        if (to === undefined || !handles[to]) return;
        event.preventDefault();
        handles[to].focus();
      });
    });
  }

  // slider makes a handle that goes up and down. value gives mm, set takes them.
  slider(key, label, look, value, set) {
    const g = s('g', { class: 'handle', role: 'slider', 'aria-orientation': 'vertical', 'aria-label': label, 'data-key': key }, look);
    const tell = () => {
      const v = value();
      g.setAttribute('aria-valuenow', v);
      g.setAttribute('aria-valuetext', width(v));
    };
    g.addEventListener('keydown', (e) => {
      const up = { ArrowUp: 1, ArrowDown: -1, PageUp: 1, PageDown: -1 }[e.key];
      if (!up) return;
      e.preventDefault();
      set(snap(value() + up * nudge(e.shiftKey || e.key.startsWith('Page'))));
    });
    this.drag(g, (from) => { const start = value(); return (p) => set(snap(start + p.y - from.y)); });
    this.all.push(tell);
    this.layer.append(g);
    return g;
  }

  // drag calls what begin gives with each place of the pointer, in mm on the board,
  // while it is down.
  drag(g, begin) {
    g.addEventListener('pointerdown', (e) => {
      if (e.button !== 0) return;
      e.preventDefault();
      e.stopPropagation();
      g.setPointerCapture(e.pointerId);
      g.focus();
      this.held = true;
      const move = begin(this.at(e), e);
      const heed = (m) => move(this.at(m));
      const end = () => {
        g.removeEventListener('pointermove', heed);
        this.held = false;
        changed();
      };
      g.addEventListener('pointermove', heed);
      g.addEventListener('lostpointercapture', end, { once: true });
    });
  }

  // at gives where an event points to, in mm on the drawing.
  at(e) {
    const box = this.svg.getBoundingClientRect(), f = this.frame();
    return { x: f.xOf(e.clientX - box.left), y: f.yOf(e.clientY - box.top) };
  }

  edge(i, side, shown, n) {
    const name = `${side}_mm`, other = side === 'near' ? 'far_mm' : 'near_mm';
    const dot = s('circle', { r: 6 }), hit = s('circle', { class: 'hit' });
    const g = this.slider(`${side}${i}`, `Station ${i + 1}, ${side} edge`, [hit, dot], () => job.board.stations[i]?.[name] ?? 0, (v) => {
      const limit = job.board.stations[i][other] ?? 0;
      job.board.stations[i][name] = side === 'near' ? Math.min(v, limit) : Math.max(v, limit);
      changed();
    });
    this.all.push((f) => {
      const st = job.board.stations[i], x = st.x_mm ?? 0;
      const apart = shown.length > 1 ? (f.end - f.left) / (shown.length - 1) : 60;
      hit.setAttribute('r', Math.min(22, Math.max(apart / 2, 9)));
      dot.setAttribute('r', apart < 20 ? 4 : 6);
      g.setAttribute('transform', `translate(${f.x(x)} ${f.y((st[name] ?? 0) + f.off(x))})`);
    });
    return g;
  }

  // labels names the fence and the blades beside the board, and leads from each to it.
  labels(blades) {
    const lines = [...Array(blades + 1)].map(() => ({ lead: s('path', { class: 'lead' }), text: s('text', { class: 'blade-label' }) }));
    lines.forEach((l) => this.layer.append(l.lead, l.text));
    this.all.push((f) => {
      for (const b of this.plan ? standLabels(f, this.plan, job.saw) : []) {
        const { lead, text } = lines[b.index + 1];
        const arrow = b.off > 0 ? '↑' : b.off < 0 ? '↓' : '';
        lead.setAttribute('d', b.off ? '' : `M${f.end + 9} ${f.y(b.y)}L${f.end + 22} ${b.at}`);
        text.setAttribute('y', b.at + (b.lines.length > 1 ? -2 : 4));
        text.replaceChildren(...b.lines.map((l, i) => s('tspan', { x: f.end + 25, dy: i ? 13 : 0 }, i || b.lines.length === 1 ? l + arrow : l)));
      }
    });
  }

  blade(i) {
    const grip = s('rect', { class: 'grip', width: 14, height: 12, x: -7, y: -6, rx: 3 }), hit = s('rect', { class: 'hit', width: 60, height: 20, x: -14, y: -10 });
    const fixed = job.saw.blades?.[i]?.moving === undefined;
    const g = this.slider(`blade${i}`, `Blade ${i + 1}, ${fixed ? 'where it is fixed' : 'position'}`, [hit, grip], () => this.plan?.setting?.blades_mm?.[i] ?? 0, (v) => {
      if (this.mine.on()) this.mine.move(i, v);
      if (fixed) job.saw.blades[i].fixed_mm = v;
      if (this.plan) this.plan.setting.blades_mm[i] = v; // at once, before the service has said more
      changed();
    });
    this.all.push((f) => {
      const b = standLabels(f, this.plan, job.saw).find((l) => l.index === i);
      g.setAttribute('transform', `translate(${f.end + 14} ${b.at})`);
    });
    return g;
  }

  defect(i) {
    const rect = s('rect', { class: 'defect' }), cross = s('path', { class: 'defect-cross' }), name = s('text', { class: 'defect-name' });
    const hit = s('rect', { class: 'hit' }), corner = s('rect', { class: 'grip', width: 10, height: 10 });
    const g = s('g', { class: 'handle', role: 'application', tabindex: 0, 'aria-roledescription': 'defect', 'data-key': `defect${i}` }, hit, rect, cross, name, corner);
    const d = () => job.board.defects[i];
    const shift = (dx, dy) => {
      const e = d(), x = Math.max(-(e.from_x_mm ?? 0), Math.min(dx, job.board.length_mm - e.to_x_mm));
      e.from_x_mm = snap((e.from_x_mm ?? 0) + x); e.to_x_mm = snap(e.to_x_mm + x);
      e.from_y_mm = snap((e.from_y_mm ?? 0) + dy); e.to_y_mm = snap((e.to_y_mm ?? 0) + dy);
    };
    const grow = (dx, dy) => {
      const e = d();
      e.to_x_mm = snap(Math.min(Math.max(e.to_x_mm + dx, (e.from_x_mm ?? 0) + 1), job.board.length_mm));
      e.to_y_mm = snap(Math.max(e.to_y_mm + dy, (e.from_y_mm ?? 0) + 1));
    };
    g.addEventListener('keydown', (e) => {
      const way = { ArrowLeft: [-10, 0], ArrowRight: [10, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
      if (way) (e.shiftKey ? grow : shift)(...way);
      else if (e.key === 'Delete' || e.key === 'Backspace') {
        job.board.defects.splice(i, 1);
        speak(`Defect ${i + 1} removed`);
      } else return;
      e.preventDefault();
      changed(!way);
    });
    this.drag(g, (from, e) => {
      const resize = e.target === corner;
      let last = from;
      return (p) => {
        (resize ? grow : shift)(p.x - last.x, p.y - last.y);
        last = p;
        changed();
      };
    });
    this.all.push((f) => {
      const e = d();
      if (!e) return;
      const from = e.from_x_mm ?? 0, mid = f.off((from + e.to_x_mm) / 2);
      const x = f.x(from), w = Math.max(f.x(e.to_x_mm) - x, 3), y = f.y((e.to_y_mm ?? 0) + mid), high = Math.max(f.y((e.from_y_mm ?? 0) + mid) - y, 3);
      for (const [r, more] of [[rect, 0], [hit, 12]]) {
        r.setAttribute('x', x - more); r.setAttribute('y', y - more); r.setAttribute('width', w + 2 * more); r.setAttribute('height', high + 2 * more);
      }
      cross.setAttribute('d', `M${x} ${y}l${w} ${high}M${x} ${y + high}l${w} ${-high}`);
      corner.setAttribute('x', x + w - 3); corner.setAttribute('y', y - 7);
      name.setAttribute('x', x); name.setAttribute('y', y - 4);
      name.textContent = e.kind ?? '';
      g.setAttribute('aria-label', `Defect ${i + 1}, ${e.kind ?? 'no kind'}: ${bareWidth(from)} to ${bareWidth(e.to_x_mm)} along, ${bareWidth(e.from_y_mm ?? 0)} to ${bareWidth(e.to_y_mm ?? 0)} across. Arrows move it, with Shift they change its size, Delete removes it.`);
    });
    this.layer.append(g);
  }
}
