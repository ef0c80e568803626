// Asks for the bearer token where the service wants one.

import { byID } from './dom.js';

let asking = null;

// askForToken gives what was typed, or null if nothing was. Calls that ask at the
// same time get the same answer.
export function askForToken(again) {
  asking ??= new Promise((resolve) => {
    const dialog = byID('token'), field = byID('token-field'), wrong = byID('token-wrong');
    wrong.hidden = !again;
    field.value = '';
    field.setAttribute('aria-invalid', String(again));
    const end = (given) => {
      dialog.onclose = null;
      dialog.close();
      field.value = '';
      asking = null;
      resolve(given);
    };
    byID('token-use').onclick = () => end(field.value.trim() || null);
    byID('token-skip').onclick = () => end(null);
    field.onkeydown = (e) => { if (e.key === 'Enter') byID('token-use').click(); };
    dialog.onclose = () => end(null); // by Escape
    dialog.showModal();
    field.focus();
  });
  return asking;
}
