// Calls the service as any JSON caller does. A token lives in this module's memory
// and nowhere else.

import { askForToken } from './token.js';
import { faultsOf, messageOf } from './refuse.js';

let token = '';
let declined = false; // people were asked and gave none; they are not asked again until they say so
let about = { grpc_port: '7420', tls: false, tokens: false };

export const facts = () => about;
export const hasToken = () => token !== '';
export const forgetToken = () => { token = ''; declined = false; };

// Refused is what the service said of a call: faults by field, or a reason.
export class Refused extends Error {
  constructor(status, body) {
    super(body?.message || `the service answered ${status}`);
    this.status = status;
    this.faults = (body?.details ?? []).flatMap((d) => d.field_violations ?? [])
      .map((v) => ({ path: v.field, says: v.description }));
  }
}

const headers = () => token ? { Authorization: `Bearer ${token}` } : {};

// needToken asks people for one; again says that the last one was wrong.
async function needToken(again) {
  const given = declined ? null : await askForToken(again);
  declined = given === null;
  if (declined) throw new Refused(401, { message: 'No token was entered, so nothing was sent. Enter one with "Token" above.' });
  token = given;
}

async function send(path, init) {
  for (;;) {
    if (about.tokens && !token) await needToken(false);
    const sent = token;
    let answer;
    try {
      answer = await fetch(path, { ...init, headers: { ...init.headers, ...headers() }, cache: 'no-store' });
    } catch (e) {
      if (e.name === 'AbortError') throw e;
      throw new Refused(0, { message: 'The service cannot be reached. Results may be out of date.' });
    }
    if (answer.status !== 401) return answer;
    about = { ...about, tokens: true };
    if (sent === token) { // else another call has asked meanwhile
      token = '';
      await needToken(sent !== '');
    }
  }
}

// Not every answer is JSON: what stands between may have a word too.
async function refusal(answer) {
  const text = await answer.text();
  let body;
  try { body = JSON.parse(text); } catch { body = { message: text.trim().slice(0, 200) }; }
  return new Refused(answer.status, body.error ?? body); // streams wrap it
}

// posted makes a request ready, unless it must be refused: then it is not sent.
function posted(path, request, signal) {
  const faults = faultsOf(request, messageOf[path]), body = JSON.stringify(request);
  const refused = (message, violations) => new Refused(400, { message, details: [{ field_violations: violations }] });
  if (faults.length) throw refused('Each fault is shown beside its field.', faults.map((f) => ({ field: f.path, description: f.says })));
  const most = about.max_body ?? Infinity;
  if (body.length > most / 3 && new Blob([body]).size > most) throw refused(`The request has ${(body.length / 1e6).toFixed(1)} MB; the service takes ${(most / 1e6).toFixed(1)} MB. Use fewer boards.`, []);
  return { method: 'POST', headers: { 'Content-Type': 'application/json' }, body, signal };
}

// call posts a request and gives the answer, with how long it took in ms.
export async function call(path, body, signal) {
  const began = performance.now();
  const answer = await send(path, posted(path, body, signal));
  if (!answer.ok) throw await refusal(answer);
  const value = await answer.json();
  return { value, took: performance.now() - began };
}

// watch posts a request whose answer is a line of JSON for each message.
export async function watch(path, body, heed, signal) {
  const answer = await send(path, posted(path, body, signal));
  if (!answer.ok) throw await refusal(answer);
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = '';
  for (;;) {
    const { value, done } = await reader.read();
    rest += value ?? '';
    const lines = rest.split('\n');
    rest = done ? '' : lines.pop();
    for (const line of lines.filter((l) => l.trim())) {
      const m = JSON.parse(line);
      if (m.error) throw new Refused(400, m.error);
      heed(m.result);
    }
    if (done) return;
  }
}

// load gets one of the page's own files.
export async function load(path) {
  const answer = await (path.endsWith('saws.json') ? send(path, {}) : fetch(path));
  if (!answer.ok) throw await refusal(answer);
  return answer.json();
}

export async function begin() {
  about = await load('/page/about.json');
}
