import type {CallOptions, Client, ClientUnaryCall, requestCallback} from '@grpc/grpc-js';

import {places, type Asking, type Calls} from './calls.js';
import type {Connection} from './dial.js';
import {refusal} from './refusal.js';

type Unary<Request, Answer> = (
  request: Request,
  options: CallOptions,
  done: requestCallback<Answer>,
) => ClientUnaryCall;

/**
 * A call by gRPC. If the service refuses it, a Refusal is thrown. The deadline is in ms
 * from now: the service answers within it, with the best found by then.
 *
 *     const {plan} = await ask(to, 'SolveBoard', request, {deadlineMs: 200});
 */
export function ask<Name extends keyof Calls>(
  to: Connection,
  name: Name,
  request: Calls[Name][0],
  {deadlineMs, signal}: Asking & {deadlineMs?: number} = {},
): Promise<Calls[Name][1]> {
  const client = to[places[name][0]] as Client;
  const call = Reflect.get(client, name) as Unary<Calls[Name][0], Calls[Name][1]>;
  const options = deadlineMs === undefined ? {} : {deadline: Date.now() + deadlineMs};
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const cancel = () => under.cancel();
    const under = call.call(client, request, options, (err, answer) => {
      signal?.removeEventListener('abort', cancel);
      if (answer !== undefined) resolve(answer);
      else reject(signal?.aborted ? signal.reason : refusal(err));
    });
    signal?.addEventListener('abort', cancel);
  });
}
