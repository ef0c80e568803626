import assert from 'node:assert/strict';
import {connect, createServer, type AddressInfo} from 'node:net';
import {after, before, test} from 'node:test';

import {objection, run} from '../examples/line.js';
import {dial, Line, Refusal, type LineAnswer} from '../src/index.js';
import {Services, type Service} from './service.js';

let services: Services;
let service: Service;
before(async () => {
  services = new Services();
  service = await services.start();
});
after(() => services.stop());

const setUp = (name: string) => ({
  run_id: name,
  saw_name: 'heron',
  order: {items: [{item_id: 'slat', width_mm: 50, value: 10, required: {length_m: 60}}]},
});
const board = (name: string) => ({board: {board_id: name, length_mm: 2000, stations: [{far_mm: 210}]}});
const cut = (answer: LineAnswer) =>
  ({board_sequence: answer.sequence, outcome: 'CUT_OUTCOME_AS_PLANNED'}) as const;

test('a run that breaks comes to the same as one that does not', async () => {
  const said: string[] = [];
  const broken = await run(service.grpc, {breakAfter: 3, withinMs: 0, patienceMs: 120_000, say: (s) => said.push(s)});
  const whole = await run(service.grpc, {breakAfter: 0, withinMs: 0, patienceMs: 120_000});
  assert.equal(broken.planned, 8);
  assert.equal(said.length, 8);
  assert.ok(!said.some((s) => s.includes('refused')), said.join('\n'));
  assert.ok(broken.items.length > 0 && broken.items.every((i) => i.length_m > 0));
  assert.deepEqual({...broken, run_id: ''}, {...whole, run_id: ''});
});

test('a run goes on by another replica when its own is killed', async () => {
  const [a, b] = [await services.start(), await services.start()];
  const at = [a.grpc, b.grpc];
  const line = new Line({setUp: setUp('killed'), connect: (attempt) => dial(at[Math.min(attempt, 1)]!), patienceMs: 120_000});
  const first = await line.board(board('b1'));
  a.kill();
  await line.confirm(cut(first));
  await line.confirm(cut(await line.board(board('b2'))));
  const {summary} = await line.end();
  assert.equal(summary!.planned, 2);
  assert.equal(summary!.unconfirmed, 0);
  const strips = summary!.items.reduce((n, i) => n + i.strips, 0);
  assert.equal(strips, 2 * first.plan!.plan!.pockets.filter((p) => p.item_id).length);
});

test('a run goes on from its state when the program was started anew', async () => {
  let kept: Buffer | undefined;
  const line = new Line({setUp: setUp('anew'), connect: () => dial(service.grpc), keep: (s) => (kept = s)});
  const planned = await line.board(board('b1'));
  line.close();
  await assert.rejects(line.confirm(cut(planned)), /closed/);

  const again = new Line({state: kept!, connect: () => dial(service.grpc)});
  const settled = again.confirm(cut(planned)); // sent before the run has resumed
  const {resumed, sequence} = await again.ready;
  assert.deepEqual(resumed!.ready!.unconfirmed, [{board_sequence: planned.sequence, board_id: 'b1', released: false}]);
  assert.equal(sequence, planned.sequence);
  assert.equal((await settled).settled!.result, 'CONFIRMATION_RESULT_COUNTED');
  assert.equal((await again.confirm(cut(planned))).settled!.result, 'CONFIRMATION_RESULT_COUNTED_BEFORE');
  assert.equal((await again.end()).summary!.outcomes[0]!.boards, 1);
});

test('a run goes on when its network is gone without a word', async () => {
  let pulled = false;
  const [host, port] = service.grpc.split(':');
  const cable = createServer((near) => {
    const far = connect(Number(port), host!);
    for (const [from, to] of [[near, far], [far, near]] as const) {
      from.on('data', (bytes) => pulled || to.write(bytes));
      from.on('error', () => {});
    }
    near.on('close', () => far.destroy());
  });
  await new Promise<void>((resolve) => cable.listen(0, '127.0.0.1', resolve));
  const through = `127.0.0.1:${(cable.address() as AddressInfo).port}`;
  const options = {'grpc.keepalive_time_ms': 1000, 'grpc.keepalive_timeout_ms': 500};
  const line = new Line({
    setUp: setUp('pulled'),
    connect: (attempt) => dial(attempt === 0 ? through : service.grpc, {options}),
    patienceMs: 120_000,
  });
  const first = await line.board(board('b1'));
  pulled = true;
  assert.equal((await line.confirm(cut(first))).settled!.result, 'CONFIRMATION_RESULT_COUNTED');
  assert.equal((await line.end()).summary!.planned, 1);
  cable.close();
});

test('a state that cannot be kept is told', async () => {
  const keep = () => {
    throw new Error('the disk is full');
  };
  const line = new Line({setUp: setUp('full'), connect: () => dial(service.grpc), keep});
  await assert.rejects(line.ready, /full/);
});

test('what cannot be followed is refused in its place', async () => {
  const line = new Line({setUp: setUp('refused'), connect: () => dial(service.grpc)});
  const {refused, plan} = await line.board({board: {board_id: 'b1', length_mm: -1, stations: [{far_mm: 210}]}});
  assert.equal(plan, undefined);
  assert.equal(refused!.reason, 'LINE_REFUSAL_REASON_INVALID');
  assert.match(refused!.faults[0]!.path, /length_mm/);
  assert.ok((await line.board(board('b2'))).plan);
  line.close();
});

test('a set-up that is wrong ends the line, and says by field why', async () => {
  const line = new Line({setUp: {...setUp('wrong'), boards_in_flight: 65}, connect: () => dial(service.grpc)});
  await assert.rejects(line.ready, (err) => {
    assert.ok(err instanceof Refusal);
    assert.equal(err.code, 'INVALID_ARGUMENT');
    assert.match(err.faults[0]!.field, /boards_in_flight/);
    return true;
  });
  await assert.rejects(line.board(board('b1')), /closed/);
});

test('a service that stays away is given up after the patience', async () => {
  const away = await services.start();
  away.kill();
  const line = new Line({setUp: setUp('away'), connect: () => dial(away.grpc), patienceMs: 300});
  await assert.rejects(line.ready, (err) => err instanceof Refusal && err.code === 'UNAVAILABLE');
});

test('a controller refuses what it must', async () => {
  const plan = {board_id: 'b', arbor_fingerprint: 'f', plan: {setting: {fence_mm: 60, blades_mm: [130, 220, 310]}}};
  const check = (change: object, inner: object = {}) =>
    objection('b', 'f', {...plan, ...change, plan: {setting: {...plan.plan.setting, ...inner}}} as LineAnswer['plan']);
  assert.equal(check({}), undefined);
  assert.match(check({board_id: 'c'})!, /board c/);
  assert.match(check({arbor_fingerprint: 'g'})!, /arbor/);
  assert.match(check({}, {fence_mm: 241})!, /fence/);
  assert.match(check({}, {blades_mm: [131, 220, 310]})!, /blade 0/);
  assert.match(check({}, {blades_mm: [130, 340, 390]})!, /blade 1/);
  assert.match(check({}, {blades_mm: [130, 220, 250]})!, /too near/);
  assert.match(check({}, {blades_mm: [130, 220]})!, /2 blades/);
  assert.match(objection('b', 'f', null)!, /no plan/);
});
