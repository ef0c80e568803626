import {Refusal} from '../src/index.js';

/** Shows a refusal as a person would want to see it. What else is wrong is a fault of the program. */
export function complain(err: unknown): void {
  if (!(err instanceof Refusal)) throw err;
  console.error(err.message);
  for (const f of err.faults) console.error(`  ${f.field} ${f.description}`);
  process.exitCode = 1;
}
