import {status, type ClientDuplexStream, type ServiceError} from '@grpc/grpc-js';

import type {CutConfirmation} from './gen/ripwright/v1/CutConfirmation.js';
import type {CutOrder} from './gen/ripwright/v1/CutOrder.js';
import type {LineBoard} from './gen/ripwright/v1/LineBoard.js';
import type {LineSetUp} from './gen/ripwright/v1/LineSetUp.js';
import type {RunLineRequest} from './gen/ripwright/v1/RunLineRequest.js';
import type {RunLineResponse__Output} from './gen/ripwright/v1/RunLineResponse.js';
import type {SawChange} from './gen/ripwright/v1/SawChange.js';
import type {Connection} from './dial.js';
import {refusal} from './refusal.js';

type Stream = ClientDuplexStream<RunLineRequest, RunLineResponse__Output>;
export type LineAnswer = RunLineResponse__Output;

interface Waiting {
  message: RunLineRequest & {sequence: number};
  resolve(answer: LineAnswer): void;
  reject(err: unknown): void;
}

export interface LineOptions {
  /** Connects, at the start and after each break: to another replica each time, if there are several. */
  connect(attempt: number): Connection;
  /** Starts a run with this ... */
  setUp?: LineSetUp;
  /** ... or continues one from its last stored state. */
  state?: Uint8Array;
  /** Called with every new state, before the answer is returned. Store it where it survives a crash of this program. */
  keep?(state: Buffer): void;
  /** How long the service may be unreachable, in ms, before waiting messages fail. Default: 10000. */
  patienceMs?: number;
}

// The pause before the first attempt to reconnect, and before each later one.
const pauseMs = [100, 1000] as const;

/**
 * A run of the live line over as many streams as it takes. Every message gets exactly
 * one answer, as a promise. If a stream breaks, the run continues from the last state, and
 * unanswered messages are sent again with their own numbers, so nothing is lost or counted
 * twice. A dead connection is noticed after 13 s by default; its options can change that.
 *
 * A promise has no time limit. A controller needs its own clock for every board, and
 * discards an answer that comes too late.
 */
export class Line {
  /** The first answer: the run is ready. */
  readonly ready: Promise<LineAnswer>;
  private readonly waiting: Waiting[] = [];
  private state: Uint8Array | undefined;
  private sequence = 0;
  private attempts = 0;
  private failed = 0; // attempts since the last answer
  private heard = Date.now();
  private connection: Connection | undefined;
  private stream: Stream | undefined;
  private retry: NodeJS.Timeout | undefined;
  private over = false;
  private resumed: Omit<Waiting, 'message'> | undefined;

  constructor(private readonly options: LineOptions) {
    if ((options.setUp === undefined) === (options.state === undefined)) {
      throw new TypeError('a line begins with either setUp or state');
    }
    this.state = options.state;
    if (options.setUp) {
      this.ready = this.send({set_up: options.setUp});
    } else {
      this.ready = new Promise((resolve, reject) => (this.resumed = {resolve, reject}));
    }
    this.ready.catch(() => {}); // a caller that ignores it gets the error with the next message
    this.open();
  }

  /** Plans a board. The answer has `plan`, or `refused`. */
  board(board: LineBoard): Promise<LineAnswer> {
    return this.send({board});
  }
  /** Reports the outcome of a board, by the sequence of the answer that planned it. */
  confirm(confirmation: CutConfirmation): Promise<LineAnswer> {
    return this.send({confirmation});
  }
  /** The order from the next board on. */
  order(order: CutOrder): Promise<LineAnswer> {
    return this.send({order_change: {order}});
  }
  /** The saw from the next board on. */
  saw(saw: SawChange): Promise<LineAnswer> {
    return this.send({saw_change: saw});
  }
  /** Ends the run. The answer has its `summary`. */
  async end(): Promise<LineAnswer> {
    const answer = await this.send({end: {}});
    this.close();
    return answer;
  }
  /** Leaves the run as it is. It can be continued from its state. */
  close(): void {
    this.fail(new Error('the line was closed'));
  }
  /** Breaks the stream, to test what happens then. */
  breakOff(): void {
    this.stream?.cancel();
  }

  private send(message: RunLineRequest): Promise<LineAnswer> {
    return new Promise((resolve, reject) => {
      if (this.over) return reject(new Error('the line is closed'));
      if (this.resumed) {
        // The next number is known once the run has resumed.
        this.ready.then(() => this.send(message)).then(resolve, reject);
        return;
      }
      const one = {message: {...message, sequence: ++this.sequence}, resolve, reject};
      if (this.waiting.push(one) === 1) this.heard = Date.now();
      this.stream?.write(one.message);
    });
  }

  private open(): void {
    try {
      this.connection = this.options.connect(this.attempts++);
    } catch (err) {
      return this.fail(err);
    }
    const stream = this.connection.rip.RunLine();
    this.stream = stream;
    let takingUp = this.state !== undefined;
    stream.on('data', (answer: LineAnswer) => {
      if (stream !== this.stream) return;
      this.heard = Date.now();
      this.failed = 0;
      if (takingUp) {
        takingUp = false;
        this.takenUp(answer);
      } else {
        this.answered(answer);
      }
    });
    stream.on('error', (err: ServiceError) => {
      if (stream === this.stream) this.broken(err);
    });
    if (this.state) stream.write({resume: {state: this.state}});
    for (const {message} of this.waiting) stream.write(message);
  }

  private takenUp(answer: LineAnswer): void {
    if (!this.resumed) return;
    this.sequence = answer.sequence;
    const {resolve} = this.resumed;
    this.resumed = undefined;
    resolve(answer);
  }

  private answered(answer: LineAnswer): void {
    const one = this.waiting.shift();
    if (one?.message.sequence !== answer.sequence) {
      one?.reject(new Error(`an answer to message ${answer.sequence}`));
      return this.fail(new Error(`an answer to message ${answer.sequence} came out of turn`));
    }
    this.state = answer.state;
    try {
      this.options.keep?.(answer.state);
    } catch (err) {
      one.reject(err);
      return this.fail(err);
    }
    one.resolve(answer);
  }

  private broken(err: ServiceError): void {
    this.hangUp();
    const mends = err.code === status.UNAVAILABLE || err.code === status.CANCELLED;
    const wanted = this.waiting.length > 0 || this.resumed;
    if (!mends || (wanted && Date.now() - this.heard > (this.options.patienceMs ?? 10_000))) {
      return this.fail(refusal(err));
    }
    this.retry = setTimeout(() => this.open(), pauseMs[this.failed++ ? 1 : 0]);
  }

  private fail(err: unknown): void {
    this.over = true;
    this.hangUp();
    clearTimeout(this.retry);
    this.resumed?.reject(err);
    this.resumed = undefined;
    for (const one of this.waiting.splice(0)) one.reject(err);
  }

  private hangUp(): void {
    const {stream, connection} = this;
    this.stream = this.connection = undefined;
    stream?.cancel();
    connection?.close();
  }
}
