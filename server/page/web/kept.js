// What the browser keeps: for good the choice of units and theme, and until the tab is
// closed what is under work, so that a reload loses nothing. Never a token.

const mostCharacters = 4e6;

const safely = (what) => { try { return what(); } catch { return null; } }; // a browser may forbid it

export const choice = {
  get: (name) => safely(() => localStorage.getItem(`ripwright-${name}`)),
  set: (name, v) => safely(() => localStorage.setItem(`ripwright-${name}`, v)),
};

export const work = {
  get: () => safely(() => JSON.parse(sessionStorage.getItem('ripwright-work'))),
  set: (state) => safely(() => {
    const text = JSON.stringify(state);
    if (text.length > mostCharacters) sessionStorage.removeItem('ripwright-work');
    else sessionStorage.setItem('ripwright-work', text);
  }),
  forget: () => safely(() => sessionStorage.removeItem('ripwright-work')),
};
