// Undo and redo. A state is kept as the text that it is written as; changes of one field
// that come close together are one.

const most = 200, mostCharacters = 2e7; // kept
const together = 800; // ms

export class History {
  // take gives what is under work, give puts it back; told hears what can be undone.
  constructor(take, give, told) {
    Object.assign(this, { take, give, told, all: [], at: -1, key: null, when: 0 });
  }

  // note keeps what is under work now. Changes with the same key are one while they come
  // close together; null: this one is its own.
  note(key) {
    const text = JSON.stringify(this.take()), now = performance.now();
    if (text === this.all[this.at]) return;
    const joins = key !== null && key === this.key && now - this.when < together && this.at > 0;
    this.all.length = joins ? this.at : this.at + 1;
    this.all.push(text);
    let size = this.all.reduce((sum, t) => sum + t.length, 0);
    while (this.all.length > 1 && (this.all.length > most || size > mostCharacters)) size -= this.all.shift().length;
    Object.assign(this, { at: this.all.length - 1, key, when: now });
    this.tell();
  }

  get canUndo() { return this.at > 0; }
  get canRedo() { return this.at + 1 < this.all.length; }

  go(by) {
    if (by < 0 ? !this.canUndo : !this.canRedo) return;
    this.at += by;
    this.key = null;
    this.give(JSON.parse(this.all[this.at]));
    this.tell();
  }

  tell() { this.told(this.canUndo, this.canRedo); }
}
