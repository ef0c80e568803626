// The boards to go through. What was changed of one is there again when people come back
// to it.

import { h, byID } from './dom.js';
import { job, replace } from './job.js';

const plain = (b) => JSON.stringify({ ...b, defects: b.defects?.length ? b.defects : undefined });

export class Boards {
  edited = {}; // by place in the list
  at = 0;

  constructor(list) {
    this.select = byID('which-board');
    this.select.onchange = () => this.go(this.select.selectedIndex);
    byID('board-before').onclick = () => this.go(this.at - 1);
    byID('board-next').onclick = () => this.go(this.at + 1);
    byID('as-scanned').onclick = () => replace('board', this.list[this.at]);
    this.use(list);
  }

  // use takes another list and shows the board at a place of it.
  use(list, at = 0) {
    Object.assign(this, { list, edited: {}, at });
    this.select.replaceChildren(...list.map((b) => h('option', { value: b.board_id }, b.board_id)));
    this.mark();
    replace('board', list[at]);
  }

  // go shows the board at a place, counted around the list's ends.
  go(to) {
    this.keep();
    this.at = (to + this.list.length) % this.list.length;
    replace('board', this.edited[this.at] ?? this.list[this.at]);
  }

  get changed() { return plain(job.board) !== plain(this.list[this.at]); }

  keep() {
    if (this.changed) this.edited[this.at] = structuredClone(job.board);
    else delete this.edited[this.at];
  }

  // mark says of each board whether it was changed.
  mark() {
    this.select.selectedIndex = this.at;
    byID('as-scanned').disabled = !this.changed;
    [...this.select.options].forEach((o, i) => {
      const text = this.list[i].board_id + ((i === this.at ? this.changed : this.edited[i]) ? ', changed' : '');
      if (o.textContent !== text) o.textContent = text;
    });
  }
}
