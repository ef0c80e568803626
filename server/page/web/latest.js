// Asks with what is newest: while an answer is awaited nothing else is sent, and
// what changed meanwhile is asked once it is there. So answers never overtake each
// other, and no drag floods the service.

export class Latest {
  // ask makes and sends a request and gives a promise; show takes {value, took} or
  // {error}; waiting tells whether an answer is awaited.
  constructor(ask, show, waiting = () => {}) {
    Object.assign(this, { ask, show, waiting, busy: false, again: false });
  }

  async go() {
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    this.waiting(true);
    do {
      const turn = this.turn = (this.turn ?? 0) + 1;
      this.again = false;
      let outcome;
      try {
        outcome = await this.ask();
      } catch (error) {
        outcome = { error };
      }
      if (!this.again && turn === this.turn) this.show(outcome);
    } while (this.again);
    this.busy = false;
    this.waiting(false);
  }

  // drop has the answer that is awaited not be shown: what was asked is not what is
  // wanted any more.
  drop() {
    this.turn = (this.turn ?? 0) + 1;
    this.again = false;
  }
}
