/**
 * Calls Ripwright: `dial` and `ask` for gRPC, `post` for JSON, `Line` for the live line.
 * Requests and answers are plain objects with the schema's own field names.
 */
export * from './ask.js';
export * from './dial.js';
export * from './json.js';
export type {Asking, Calls} from './calls.js';
export * from './line.js';
export {Refusal, refusal, type Fault} from './refusal.js';
