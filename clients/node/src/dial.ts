import {
  credentials,
  InterceptingCall,
  type ChannelOptions,
  type Interceptor,
} from '@grpc/grpc-js';

import type {InfoServiceClient} from './gen/ripwright/v1/InfoService.js';
import type {PlanningServiceClient} from './gen/ripwright/v1/PlanningService.js';
import type {RipServiceClient} from './gen/ripwright/v1/RipService.js';
import type {TallyServiceClient} from './gen/ripwright/v1/TallyService.js';
import {schema} from './schema.js';

/** Access to a service. If empty: without TLS and token, as on loopback. */
export interface Access {
  /** PEM of the authorities that sign the service's certificate. If set, TLS is used. */
  ca?: Buffer;
  /** PEM of the caller's certificate and key, if the service requires one. */
  cert?: Buffer;
  key?: Buffer;
  /** A bearer token. */
  token?: string;
  /** Options of grpc-js. */
  options?: ChannelOptions;
}

/** The services of one address. Keep it open; do not dial for every call. */
export interface Connection {
  rip: RipServiceClient;
  planning: PlanningServiceClient;
  tally: TallyServiceClient;
  info: InfoServiceClient;
  close(): void;
}

/** Connects to HOST:PORT. It returns at once; a call waits until the service is reached. */
export function dial(address: string, access: Access = {}): Connection {
  const secure = access.ca
    ? credentials.createSsl(access.ca, access.key ?? null, access.cert ?? null)
    : credentials.createInsecure();
  const options = {
    // An answer with a picture or a run's state may be larger than 4 MiB.
    'grpc.max_receive_message_length': 64 << 20,
    // A dead network gives no sign, so ping it. The service allows a ping every 5 s.
    'grpc.keepalive_time_ms': 10_000,
    'grpc.keepalive_timeout_ms': 3_000,
    'grpc.keepalive_permit_without_calls': 1,
    ...access.options,
    interceptors: access.token === undefined ? [] : [bearer(access.token)],
  };
  const {RipService, PlanningService, TallyService, InfoService} = schema.ripwright.v1;
  const rip = new RipService(address, secure, options);
  const shared = {...options, channelOverride: rip.getChannel()};
  return {
    rip,
    planning: new PlanningService(address, secure, shared),
    tally: new TallyService(address, secure, shared),
    info: new InfoService(address, secure, shared),
    close: () => rip.close(),
  };
}

function bearer(token: string): Interceptor {
  return (options, next) =>
    new InterceptingCall(next(options), {
      start(metadata, listener, start) {
        metadata.set('authorization', `Bearer ${token}`);
        start(metadata, listener);
      },
    });
}
