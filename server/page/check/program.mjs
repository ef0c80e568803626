// Starts programs for tests and ends them. The service's binary is said by SERVER.

import { spawn } from 'node:child_process';

// running are the programs that a test that failed may have left.
const running = new Set();

// program runs a binary until stop is called; it is up once its log says so.
export async function program(binary, args, up) {
  const child = spawn(binary, args, { stdio: ['ignore', 'ignore', 'pipe'] });
  running.add(child);
  let log = '';
  const ready = new Promise((resolve, reject) => {
    child.stderr.on('data', (d) => {
      log += d;
      const m = up.exec(log);
      if (m) resolve(m);
    });
    child.once('exit', (code) => reject(new Error(`${binary} ended with ${code}\n${log}`)));
  });
  return { found: await ready, stop: () => end(child, 'SIGTERM'), child };
}

// start runs a binary without reading its output.
export function start(binary, args) {
  const child = spawn(binary, args, { stdio: 'ignore' });
  running.add(child);
  return child;
}

// end sends a signal and waits until the program is gone.
export const end = (child, signal) => new Promise((done) => {
  if (child.exitCode !== null || child.signalCode !== null) return done();
  child.once('exit', done);
  child.kill(signal);
});

// service starts the service on free ports and gives its addresses.
export async function service(...args) {
  const p = await program(process.env.SERVER, ['--grpc', '127.0.0.1:0', '--http', '127.0.0.1:0', '--drain-delay', '0s', ...args], /"msg":"serving","grpc":"([^"]+)","http":"([^"]+)"/);
  return { ...p, grpc: p.found[1], http: p.found[2], url: `http://${p.found[2]}/` };
}

// endAll ends what a test that failed has left.
export const endAll = () => Promise.all([...running].map((child) => end(child, 'SIGKILL')));
