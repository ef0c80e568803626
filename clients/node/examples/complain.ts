import {Refusal} from '../src/index.js';

/** Shows an error to a person. */
export function complain(err: unknown): void {
  const {message, cause} = err as Error;
  console.error(cause instanceof Error && !(err instanceof Refusal) ? `${message}: ${cause.message}` : message);
  if (err instanceof Refusal) for (const f of err.faults) console.error(`  ${f.field} ${f.description}`);
  process.exitCode = 1;
}
