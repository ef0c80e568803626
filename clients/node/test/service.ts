import {execFileSync, spawn, type ChildProcess} from 'node:child_process';
import {mkdtempSync, rmSync} from 'node:fs';
import {tmpdir} from 'node:os';
import {join} from 'node:path';
import {createInterface} from 'node:readline';
import {fileURLToPath} from 'node:url';

const root = fileURLToPath(new URL('../../../../', import.meta.url));

export interface Service {
  grpc: string;
  http: string;
  /** Ends it like a crash. */
  kill(): void;
}

/** Builds the service of this repository and starts it on free ports, as often as needed. */
export class Services {
  readonly dir = mkdtempSync(join(tmpdir(), 'ripwright-'));
  private readonly binary = join(this.dir, 'server');
  private readonly running: ChildProcess[] = [];

  constructor() {
    execFileSync('go', ['build', '-o', this.binary, './server'], {cwd: root});
  }

  async start(...flags: string[]): Promise<Service> {
    const env = Object.fromEntries(Object.entries(process.env).filter(([name]) => !name.startsWith('RIPWRIGHT_')));
    const child = spawn(
      this.binary,
      ['--grpc', '127.0.0.1:0', '--http', '127.0.0.1:0', '--drain-delay', '0s', '--log-format', 'json', ...flags],
      {stdio: ['ignore', 'ignore', 'pipe'], env},
    );
    this.running.push(child);
    const said: string[] = [];
    for await (const line of createInterface(child.stderr)) {
      said.push(line);
      if (!line.startsWith('{')) continue;
      const {msg, grpc, http} = JSON.parse(line) as Record<string, string>;
      if (msg === 'serving') {
        child.stderr.resume();
        return {grpc: grpc!, http: http!, kill: () => void child.kill('SIGKILL')};
      }
    }
    throw new Error(`the service did not start:\n${said.join('\n')}`);
  }

  stop(): void {
    for (const child of this.running) child.kill('SIGKILL');
    rmSync(this.dir, {recursive: true, force: true});
  }
}
