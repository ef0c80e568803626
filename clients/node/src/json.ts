import {places, type Asking, type Calls} from './calls.js';
import {refusalOfBody} from './refusal.js';

/**
 * A call by JSON, to http://HOST:PORT. If the service refuses it, a Refusal is thrown;
 * if the service cannot be reached, or the signal is aborted, the error of fetch. Answers
 * leave out absent fields. For a private certificate authority set Node's variable
 * NODE_EXTRA_CA_CERTS.
 *
 *     const {quote} = await post('http://127.0.0.1:7421', 'QuoteOrder', request);
 */
export async function post<Name extends keyof Calls>(
  base: string,
  name: Name,
  request: Calls[Name][0],
  {token, signal}: Asking & {token?: string} = {},
): Promise<Calls[Name][1]> {
  const [service, path] = places[name];
  const url = new URL(path, base);
  const headers: Record<string, string> = token === undefined ? {} : {authorization: `Bearer ${token}`};
  const how: RequestInit = {headers, signal: signal ?? null};
  if (service === 'info') {
    // A call that only reads is a GET, with its request in the address.
    for (const [field, value] of Object.entries(request)) url.searchParams.set(field, String(value));
  } else {
    headers['content-type'] = 'application/json';
    Object.assign(how, {method: 'POST', body: JSON.stringify(request)});
  }
  const response = await fetch(url, how);
  const text = await response.text();
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch {
    // A proxy in between may answer in a form of its own.
    throw refusalOfBody(response.status, {message: text.slice(0, 200)});
  }
  if (!response.ok) throw refusalOfBody(response.status, body);
  return body as Calls[Name][1];
}
