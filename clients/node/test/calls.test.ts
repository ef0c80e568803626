import assert from 'node:assert/strict';
import {execFileSync} from 'node:child_process';
import {readFileSync, writeFileSync} from 'node:fs';
import {join} from 'node:path';
import {after, before, test} from 'node:test';
import {Metadata, status, type ServiceError} from '@grpc/grpc-js';

import {quote, request} from '../examples/quote.js';
import {places, type Calls} from '../src/calls.js';
import {ask, dial, post, Refusal, refusal} from '../src/index.js';
import {refusalOfBody} from '../src/refusal.js';
import {schema} from '../src/schema.js';
import {Services, type Service} from './service.js';

let services: Services;
let service: Service;
let web: string;
before(async () => {
  services = new Services();
  service = await services.start();
  web = `http://${service.http}`;
});
after(() => services.stop());

const solve = {
  saw_name: 'heron',
  board: {board_id: 'b1', length_mm: 2400, stations: [{far_mm: 240}]},
  order: {items: [{item_id: 'slat', width_mm: 50, value: 10}]},
};

// Without a time limit, which would make answers differ, and quick.
const small = structuredClone({...request, simulations: 3});
delete small.time_limit_ms;
small.lumber!.sample_boards = 10;
small.order!.items![0]!.required = {length_m: 40};
small.order!.items![1]!.required = {pieces: 60};
const soon = 300_000; // much more than anything takes

test('a quote is the same by JSON and by gRPC', async () => {
  const byJSON = await post(web, 'QuoteOrder', small);
  const to = dial(service.grpc);
  const byGRPC = await ask(to, 'QuoteOrder', small);
  to.close();
  const {boards, cost} = byJSON.quote!;
  assert.ok(boards!.lower > 0 && boards!.lower <= boards!.mean && boards!.mean <= boards!.upper);
  assert.deepEqual({boards, cost}, {boards: byGRPC.quote!.boards, cost: byGRPC.quote!.cost});
  assert.equal(byJSON.ended_by, byGRPC.ended_by);
});

test('the example shows a quote, and what cannot be made', async () => {
  const lines = await quote(web, small, soon);
  assert.match(lines.join('\n'), /boards +\d+ \(\d+ to \d+\)\n/);
  assert.match(lines.join('\n'), /cost +[\d.]+ \([\d.]+ to [\d.]+\) CAD\n/);
  assert.match(lines.join('\n'), /buy random width: \d+ \(.*\) boards, .* CAD/);
  assert.match(lines.join('\n'), /buy narrow: .* CAD; .*one more pack saves [\d.]+ CAD/);
  const wide = structuredClone(small);
  wide.order!.items!.push({item_id: 'tabletop', width_mm: 900, required: {length_m: 2}});
  assert.match((await quote(web, wide, soon))[0]!, /^tabletop cannot be made: /);
  wide.order!.items!.splice(0, 2);
  assert.equal((await quote(web, wide, soon))[1], 'no quote (PLANNING_RESULT_IMPOSSIBLE)');
});

test('what is wrong is named by field, alike by JSON and by gRPC', async () => {
  const wrong = {...solve, board: {...solve.board, length_mm: -1, thickness_mm: 1e9}};
  const byJSON = await post(web, 'SolveBoard', wrong).catch((err: unknown) => err);
  const to = dial(service.grpc);
  const byGRPC = await ask(to, 'SolveBoard', wrong).catch((err: unknown) => err);
  to.close();
  for (const err of [byJSON, byGRPC]) {
    assert.ok(err instanceof Refusal);
    assert.equal(err.code, 'INVALID_ARGUMENT');
    assert.deepEqual(err.faults.map((f) => f.field), ['board.length_mm', 'board.thickness_mm']);
  }
  assert.deepEqual((byJSON as Refusal).faults, (byGRPC as Refusal).faults);
  assert.deepEqual([(byJSON as Refusal).reason, (byGRPC as Refusal).reason], ['WRONG_FIELDS', 'WRONG_FIELDS']);
  assert.equal((byGRPC as Refusal).faults[0]!.reason, 'OUT_OF_RANGE');
});

test('an unknown saw and a misspelt field have errors of their own', async () => {
  await assert.rejects(post(web, 'SolveBoard', {...solve, saw_name: 'curlew'}), {code: 'NOT_FOUND'});
  const misspelt = {...solve, bord: 1};
  await assert.rejects(post(web, 'SolveBoard', misspelt), (err) => err instanceof Refusal && err.faults[0]?.field === 'bord');
});

test('the service says what it is and which saws it has', async () => {
  const to = dial(service.grpc);
  for (const ask1 of [
    <N extends 'GetServerInfo' | 'ListSaws'>(name: N, request: Calls[N][0]) => post(web, name, request),
    <N extends 'GetServerInfo' | 'ListSaws'>(name: N, request: Calls[N][0]) => ask(to, name, request),
  ]) {
    assert.ok((await ask1('GetServerInfo', {})).release);
    const first = await ask1('ListSaws', {page_size: 1});
    const next = await ask1('ListSaws', {page_token: first.next_page_token});
    assert.deepEqual([...first.saws, ...next.saws].map((s) => s.saw!.name), ['heron', 'plover']);
  }
  to.close();
});

test('every call of the schema but the streams is there, at the path that the schema says', () => {
  const {RipService, PlanningService, TallyService, InfoService} = schema.ripwright.v1;
  const all = new Map<string, unknown>();
  for (const s of [RipService, PlanningService, TallyService, InfoService]) {
    for (const [name, method] of Object.entries(s.service)) {
      if (!method.requestStream && !method.responseStream) all.set(name, method);
    }
  }
  assert.deepEqual(Object.keys(places).sort(), [...all.keys()].sort());
  const openapi = readFileSync(new URL('../../../../proto/openapi.yaml', import.meta.url), 'utf8');
  for (const [name, [service, path]] of Object.entries(places)) {
    const said = openapi.match(new RegExp(`\\n  "${path}":\\n    ${service === 'info' ? 'get' : 'post'}:\\n      operationId: "(\\w+)"`));
    assert.equal(said?.[1], name, path);
  }
});

test('a quote ends when its caller aborts it', async () => {
  const long = {...small, simulations: 1000, max_boards: 1_000_000, order: {items: [{item_id: 'a', width_mm: 50, required: {length_m: 1e6}}]}};
  await assert.rejects(post(web, 'QuoteOrder', long, {signal: AbortSignal.timeout(300)}), {name: 'TimeoutError'});
  const to = dial(service.grpc);
  const stop = new AbortController();
  const asked = ask(to, 'QuoteOrder', long, {signal: stop.signal});
  setTimeout(() => stop.abort(), 200);
  await assert.rejects(asked, {name: 'AbortError'});
  to.close();
});

test('what a proxy says in words of its own is an error too', () => {
  const err = refusalOfBody(502, {message: 'bad gateway'});
  assert.equal(err.code, 'HTTP 502');
  assert.deepEqual(err.faults, []);
});

test('when to try again is read from both', () => {
  assert.equal(refusalOfBody(429, {code: 8, message: 'busy', details: [{'@type': 'type.googleapis.com/google.rpc.RetryInfo', retry_delay: '1.500s'}]}).retryAfterMs, 1500);
  const metadata = new Metadata();
  const value = schema.google.rpc.RetryInfo.serialize({retry_delay: {seconds: 1, nanos: 5e8}});
  metadata.set('grpc-status-details-bin', schema.google.rpc.Status.serialize({
    code: 8, message: 'busy', details: [{type_url: 'type.googleapis.com/google.rpc.RetryInfo', value}],
  }));
  const busy = Object.assign(new Error('busy'), {code: status.RESOURCE_EXHAUSTED, details: 'busy', metadata}) satisfies ServiceError;
  const err = refusal(busy);
  assert.ok(err instanceof Refusal);
  assert.equal(err.code, 'RESOURCE_EXHAUSTED');
  assert.equal(err.retryAfterMs, 1500);
  const other = new Error('no call at all');
  assert.equal(refusal(other), other);
});

test('callers with a certificate authority and a token are let in, others not', async () => {
  const file = (name: string) => join(services.dir, name);
  execFileSync('openssl', ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2',
    '-subj', '/CN=test', '-addext', 'subjectAltName=IP:127.0.0.1,DNS:localhost', '-keyout', file('key.pem'), '-out', file('cert.pem')], {stdio: 'ignore'});
  const token = 'an-invented-token-of-the-test';
  writeFileSync(file('tokens.yaml'), `- {name: test, token: ${token}, scopes: [line]}\n`, {mode: 0o600});
  const guarded = await services.start('--tls-cert', file('cert.pem'), '--tls-key', file('key.pem'), '--tokens', file('tokens.yaml'));
  const ca = readFileSync(file('cert.pem'));
  const solveBy = (access: object) => {
    const to = dial(guarded.grpc.replace('127.0.0.1', 'localhost'), access);
    return ask(to, 'SolveBoard', solve, {deadlineMs: soon}).finally(() => to.close());
  };
  assert.equal((await solveBy({ca, token})).board_id, 'b1');
  await assert.rejects(solveBy({ca}), {code: 'UNAUTHENTICATED'});
  await assert.rejects(solveBy({ca, token: 'wrong'}), {code: 'UNAUTHENTICATED'});
  await assert.rejects(solveBy({token}), {name: 'Refusal'});
});

test('a token is sent with JSON calls', async () => {
  const token = 'another-invented-token-here';
  const path = join(services.dir, 'office.yaml');
  writeFileSync(path, `- {name: test, token: ${token}, scopes: [office]}\n`, {mode: 0o600});
  const guarded = `http://${(await services.start('--tokens', path)).http}`;
  assert.equal((await post(guarded, 'SolveBoard', solve, {token})).board_id, 'b1');
  await assert.rejects(post(guarded, 'SolveBoard', solve), {code: 'UNAUTHENTICATED'});
});
