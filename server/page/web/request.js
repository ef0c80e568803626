// Shows a request as one would send it oneself: as JSON, by curl or by grpcurl.

import { h, byID, button, speak } from './dom.js';
import { facts } from './call.js';

// quoted makes a text one word of a POSIX shell.
export const quoted = (text) => `'${text.replaceAll("'", `'\\''`)}'`;

export function asCurl(path, body, origin, tokens) {
  return `curl -s ${quoted(origin + path)} \\\n${tokens ? '  -H "Authorization: Bearer $RIPWRIGHT_TOKEN" \\\n' : ''}  -H 'Content-Type: application/json' \\\n  -d ${quoted(JSON.stringify(body, null, 1))}\n`;
}

export function asGrpcurl(rpc, body, host, { grpc_port, tls, tokens }) {
  return `grpcurl ${tls ? '' : '-plaintext '}${tokens ? '-H "authorization: Bearer $RIPWRIGHT_TOKEN" ' : ''}\\\n  -d ${quoted(JSON.stringify(body, null, 1))} \\\n  ${host}:${grpc_port} ${rpc}\n`;
}

async function copy(text, pre) {
  try {
    await navigator.clipboard.writeText(text);
  } catch { // no clipboard without TLS away from this machine, or it was not allowed
    const range = document.createRange();
    range.selectNodeContents(pre);
    getSelection().removeAllRanges();
    getSelection().addRange(range);
    if (!document.execCommand('copy')) return 'Copying failed. The text is selected: copy it with Ctrl+C.';
  }
  return 'Copied.';
}

// showRequest opens the dialog. use takes an edited request; null: it cannot be
// edited.
export function showRequest({ title, path, rpc, body, use }) {
  const dialog = byID('request-dialog');
  const forms = {
    JSON: () => JSON.stringify(body, null, 2),
    curl: () => asCurl(path, body, location.origin, facts().tokens),
    grpcurl: () => asGrpcurl(rpc, body, location.hostname, facts()),
  };
  const pre = h('pre', { tabindex: 0, 'aria-label': 'the request' }), said = h('p', { class: 'said', role: 'status' });
  const edited = h('textarea', { spellcheck: 'false', 'aria-label': 'the request as JSON', hidden: true });
  const show = (name) => {
    pre.textContent = forms[name]();
    said.textContent = '';
    tabs.forEach((t) => t.setAttribute('aria-pressed', String(t.textContent === name)));
  };
  const tabs = Object.keys(forms).map((name) => button(name, () => show(name), { 'aria-pressed': 'false' }));
  const edit = use && button('Edit as JSON', () => {
    if (edited.hidden) {
      edited.value = forms.JSON();
      edited.hidden = false;
      pre.hidden = true;
      edit.textContent = 'Use this JSON';
      edited.focus();
      return;
    }
    let given;
    try {
      given = JSON.parse(edited.value);
    } catch (e) {
      said.textContent = `That is not JSON: ${e.message}`;
      return;
    }
    try {
      if (given === null || typeof given !== 'object' || Array.isArray(given)) throw new Error('it must be an object');
      use(given);
      dialog.close();
    } catch (e) {
      said.textContent = `That cannot be used: ${e.message}`;
    }
  });
  dialog.replaceChildren(
    h('h2', { id: 'request-title' }, title),
    h('div', { class: 'tools' }, tabs, button('Copy', async () => { said.textContent = await copy(pre.textContent, pre); speak(said.textContent); }, { class: 'main' }), edit),
    facts().tokens ? h('p', {}, 'Put your token into the environment variable RIPWRIGHT_TOKEN; it is not shown here.') : '',
    said, pre, edited, h('div', { class: 'tools' }, button('Close', () => dialog.close())));
  show('JSON');
  dialog.showModal();
}
