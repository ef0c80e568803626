import {status, type ServiceError} from '@grpc/grpc-js';

import {schema} from './schema.js';

/** A field that is wrong. */
export interface Fault {
  /** Its path in the request: order.items[0].width_mm. */
  field: string;
  /** What is wrong and what would be right. */
  description: string;
  /** The kind of fault, a value of the schema's FaultReason: OUT_OF_RANGE. */
  reason: string;
}

/** A call that the service refused, by gRPC or JSON. */
export class Refusal extends Error {
  override name = 'Refusal';
  constructor(
    /** The status by its name: INVALID_ARGUMENT. */
    readonly code: string,
    message: string,
    /** The wrong fields, up to a limit. */
    readonly faults: Fault[] = [],
    /** When to try again, in ms from now, if the service says so. */
    readonly retryAfterMs?: number,
    cause?: unknown,
    /** The reason, a value of the schema's ErrorReason: WRONG_FIELDS. Accept unknown values. */
    readonly reason?: string,
  ) {
    super(`${code}: ${message}`, {cause});
  }
}

/** Converts an error of a gRPC call to a Refusal. Other errors are returned unchanged. */
export function refusal(err: unknown): unknown {
  if (!isServiceError(err)) return err;
  const code = status[err.code] ?? String(err.code);
  let faults: Fault[] = [];
  let retryAfterMs: number | undefined;
  let reason: string | undefined;
  const [packed] = err.metadata.get('grpc-status-details-bin');
  if (Buffer.isBuffer(packed)) {
    const {Status, BadRequest, RetryInfo, ErrorInfo} = schema.google.rpc;
    for (const {type_url, value} of Status.deserialize(packed).details) {
      if (names(type_url, 'BadRequest')) faults = BadRequest.deserialize(value).field_violations;
      if (names(type_url, 'ErrorInfo')) ({reason} = ErrorInfo.deserialize(value));
      if (names(type_url, 'RetryInfo')) {
        const delay = RetryInfo.deserialize(value).retry_delay;
        retryAfterMs = Number(delay?.seconds ?? 0) * 1e3 + (delay?.nanos ?? 0) / 1e6;
      }
    }
  }
  return new Refusal(code, err.details, pick(faults), retryAfterMs, err, reason);
}

/** Converts a JSON error body to a Refusal. */
export function refusalOfBody(httpStatus: number, body: unknown): Refusal {
  const {code, message, details} = (body ?? {}) as {code?: number; message?: string; details?: unknown[]};
  let faults: Fault[] = [];
  let retryAfterMs: number | undefined;
  let reason: string | undefined;
  for (const one of Array.isArray(details) ? (details as (Detail | null)[]) : []) {
    if (!one) continue;
    if (names(one['@type'], 'BadRequest')) faults = one.field_violations ?? [];
    if (names(one['@type'], 'ErrorInfo')) reason = one.reason;
    if (names(one['@type'], 'RetryInfo')) retryAfterMs = parseFloat(one.retry_delay ?? '0') * 1e3; // "1.500s"
  }
  const name = code === undefined ? undefined : status[code];
  return new Refusal(name ?? `HTTP ${httpStatus}`, message ?? 'no reason given', pick(faults), retryAfterMs, undefined, reason);
}

const pick = (faults: Fault[]) => faults.map(({field, description, reason}) => ({field, description, reason}));

function isServiceError(err: unknown): err is ServiceError {
  return err instanceof Error && 'metadata' in err && 'details' in err && 'code' in err;
}

/** The fields of an error detail in JSON that are read here. */
interface Detail {
  '@type'?: string;
  field_violations?: Fault[];
  retry_delay?: string;
  reason?: string;
}

function names(type: string | undefined, name: string): boolean {
  return type?.endsWith(`/google.rpc.${name}`) ?? false;
}
