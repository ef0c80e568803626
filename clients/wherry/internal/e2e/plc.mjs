// A PLC that this project did not write the protocol of: node-opcua serves the words, and
// the programme below is the PLC's side of the hand-over. It reads boards as lines of JSON
// from a file, and prints each board that left as a line of JSON.
//
//   node plc.mjs --port 4840 --boards boards.jsonl --boot 1 --from 1 [--secured] [--folder certificates]
import { createRequire } from "node:module";
import { existsSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";

const opcua = createRequire(process.env.WHERRY_MODULES + "/")("node-opcua");
const { OPCUAServer, OPCUACertificateManager, Variant, DataType, StatusCodes, VariantArrayType, SecurityPolicy, MessageSecurityMode, standardUnits, DataValue } = opcua;

const { values: args } = parseArgs({ options: {
  port: { type: "string" }, boards: { type: "string" }, boot: { type: "string", default: "1" }, from: { type: "string", default: "1" },
  secured: { type: "boolean", default: false }, folder: { type: "string" }, hold: { type: "string", default: "2000" }, between: { type: "string", default: "5" },
  refuse: { type: "string", default: "0.1" }, seed: { type: "string", default: "1" }, bad: { type: "string", default: "" },
  kept: { type: "string" }, restart: { type: "string", default: "0" }, vary: { type: "boolean", default: false } } });

const slots = 16, strips = 12, stations = 32;
const number = DataType.UInt32, real = DataType.Float, text = DataType.String;
const words = {
  boot: [number, +args.boot], life: [number, 0], scan_number: [number, 0], board_id: [text, ""], length: [DataType.Double, 0], points: [DataType.UInt16, 0],
  near: [real, new Float32Array(stations)], far: [real, new Float32Array(stations)], positions: [real, new Float32Array(stations)],
  accepted_number: [number, 0], refused_number: [number, 0], refused_reason: [DataType.UInt16, 0],
  results: [number, 0], result_boot: [number, new Uint32Array(slots)], result_number: [number, new Uint32Array(slots)], result_plan: [number, new Uint32Array(slots)],
  result_outcome: [number, new Uint32Array(slots)], result_widths: [real, new Float32Array(slots * strips)],
  bridge_session: [number, 0, "ours"], bridge_life: [number, 0, "ours"], plan_board_id: [text, "", "ours"], plan_arbor: [text, "", "ours"],
  plan_fence: [real, 0, "ours"], plan_blades: [real, new Float32Array(4), "ours"], plan_strips: [number, 0, "ours"], plan_widths: [real, new Float32Array(strips), "ours"],
  plan_number: [number, 0, "ours"], declined_reason: [DataType.UInt16, 0, "ours"], declined_number: [number, 0, "ours"], results_taken: [number, 0, "ours"],
};
const w = Object.fromEntries(Object.entries(words).map(([k, v]) => [k, v[1]]));
const doubtful = {}; // words whose quality is not good

let random = BigInt(args.seed) * 2654435761n + 1n;
const chance = () => { // the generator of Numerical Recipes, from memory
  random = (random * 1664525n + 1013904223n) & 0xffffffffn;
  return Number(random) / 2 ** 32;
};

const folder = args.folder;
const server = new OPCUAServer({
  port: +args.port, hostname: "127.0.0.1", resourcePath: "/saw",
  ...(folder ? { serverCertificateManager: new OPCUACertificateManager({ rootFolder: folder + "/own", automaticallyAcceptUnknownCertificate: false }) } : {}),
  securityPolicies: args.secured ? [SecurityPolicy.Basic256Sha256, SecurityPolicy.Aes128_Sha256_RsaOaep, SecurityPolicy.Aes256_Sha256_RsaPss] : [SecurityPolicy.None],
  securityModes: args.secured ? [MessageSecurityMode.SignAndEncrypt] : [MessageSecurityMode.None],
  allowAnonymous: true,
});
await server.initialize();
const space = server.engine.addressSpace.registerNamespace("urn:plant.example:saw");
const device = space.addObject({ organizedBy: server.engine.addressSpace.rootFolder.objects, browseName: "Saw" });
for (const [name, [type, first, ours]] of Object.entries(words)) {
  const array = ArrayBuffer.isView(first);
  const options = {
    componentOf: device, browseName: name, nodeId: "s=Hand." + name, dataType: DataType[type], minimumSamplingInterval: 100,
    ...(array ? { valueRank: 1, arrayDimensions: [first.length] } : {}),
    accessLevel: ours ? "CurrentRead | CurrentWrite" : "CurrentRead", userAccessLevel: ours ? "CurrentRead | CurrentWrite" : "CurrentRead",
    value: {
      timestamped_get: () => new DataValue({ value: new Variant({ dataType: type, arrayType: array ? VariantArrayType.Array : VariantArrayType.Scalar, value: w[name] }),
        statusCode: doubtful[name] ?? StatusCodes.Good, sourceTimestamp: new Date() }),
      ...(ours ? { timestamped_set: async (v) => { w[name] = v.value.value; return StatusCodes.Good; } } : {}),
    },
  };
  if (name === "length") { // in metres: the server tells
    space.addAnalogDataItem({ ...options, engineeringUnits: standardUnits.metre, engineeringUnitsRange: { low: 0, high: 20 } });
  } else {
    space.addVariable(options);
  }
}
// Retentive memory: the ring, its count, the board at hand and what was accepted of it.
let kept = { results: 0, ring: {}, next: 0, number: +args.from, open: null, cuts: [] };
if (args.kept && existsSync(args.kept)) {
  kept = JSON.parse(readFileSync(args.kept, "utf8"));
  w.results = kept.results;
  for (const [k, v] of Object.entries(kept.ring)) w[k] = words[k][1].constructor.from(v);
}
const keep = () => {
  if (!args.kept) return;
  kept.results = w.results;
  for (const k of ["result_boot", "result_number", "result_plan", "result_outcome", "result_widths"]) kept.ring[k] = Array.from(w[k]);
  writeFileSync(args.kept + ".part", JSON.stringify(kept));
  renameSync(args.kept + ".part", args.kept);
};
await server.start();
process.stderr.write("ready\n");
process.stdout.write('{"ready":true}\n');

setInterval(() => { w.life = (w.life + 1) >>> 0; }, 10);
const sleep = (ms) => new Promise((done) => setTimeout(done, ms));
const say = (what) => process.stdout.write(JSON.stringify(what) + "\n");

function result(c) {
  const k = w.results % slots;
  for (const [name, v] of [["result_boot", c.boot], ["result_number", c.number], ["result_plan", c.plan], ["result_outcome", c.outcome]]) {
    w[name] = Uint32Array.from(w[name]);
    w[name][k] = v;
  }
  w.result_widths = Float32Array.from(w.result_widths);
  w.result_widths.set(Float32Array.from({ length: strips }, (_, i) => c.widths[i] ?? 0), k * strips);
  w.results = (w.results + 1) >>> 0;
}

// A number that came after its board was given up: it has a result too, and is not cut.
let lost = 0;
function settle() {
  if (!lost || w.plan_number !== lost) return;
  say({ late: true });
  result({ boot: +args.boot, number: lost, plan: 0, outcome: 3, widths: [] });
  lost = 0;
  keep();
}

// Restarts as a PLC does that forgets everything, once its results are in the books: what
// either side has written is gone, and numbers are those of before with another boot.
async function restart() {
  while (w.results_taken !== w.results) await sleep(1);
  lost = 0;
  for (const [k, v] of Object.entries(words)) w[k] = ArrayBuffer.isView(v[1]) ? v[1].slice() : v[1];
  w.boot = args.boot = +args.boot + 1;
  return +args.from;
}

// A board that had a plan as the PLC stopped: its outcome is unknown.
if (kept.open) {
  const c = { ...kept.open, plan: 0, outcome: 4, widths: [] };
  result(c);
  kept.open = null;
  kept.cuts.push(c);
  keep();
  say(c);
}
let n = kept.number;
for (const line of readFileSync(args.boards, "utf8").split("\n").filter(Boolean).slice(kept.next)) {
  const b = JSON.parse(line), id = `board ${args.boot}/${n}`;
  const filled = (l) => Float32Array.from({ length: stations }, (_, i) => l[i] ?? 0);
  w.board_id = id; w.length = b.length / 1000; w.points = b.at.length;
  w.positions = filled(b.at); w.near = filled(b.near); w.far = filled(b.far);
  for (const k in doubtful) delete doubtful[k];
  if (args.bad && chance() < 0.2) doubtful[args.bad] = StatusCodes.UncertainLastUsableValue;
  w.scan_number = n;
  const c = { boot: +args.boot, number: n, plan: 0, outcome: 3, widths: [], fence: 0 };
  const since = performance.now();
  let told = false;
  const hold = args.vary ? 2 * chance() * +args.hold : +args.hold;
  while (performance.now() - since < hold) {
    settle();
    if (w.plan_number === n) { told = true; break; }
    if (w.declined_number === n) { c.declined = w.declined_reason; break; }
    await sleep(1);
  }
  c.waited = performance.now() - since;
  if (told) {
    kept.open = { boot: c.boot, number: n };
    kept.next++;
    kept.number = n === 0xffffffff ? 1 : n + 1;
    keep();
    c.fence = w.plan_fence; c.widths = Array.from(w.plan_widths).slice(0, w.plan_strips);
    if (w.plan_board_id !== id) c.wrong = `the plan of ${w.plan_board_id} stands beside ${id}`;
    if (chance() < +args.refuse) {
      w.refused_reason = 1 + Math.floor(chance() * 8); w.refused_number = n;
    } else {
      c.plan = n; c.outcome = chance() < 0.7 ? 1 : 3; w.accepted_number = n;
      if (c.outcome !== 1) c.plan = 0;
    }
    await sleep(+args.between);
    result(c);
    kept.open = null;
    kept.cuts.push(c);
    keep();
  } else {
    kept.cuts.push(c);
    kept.next++;
    kept.number = n === 0xffffffff ? 1 : n + 1;
    if (!c.declined) { lost = n; c.without = true; }
    keep();
  }
  say(c);
  n = n === 0xffffffff ? 1 : n + 1;
  if (+args.restart && kept.next % +args.restart === 0) n = await restart();
}
w.scan_number = 0;
// Until the last result is in the books.
for (let k = 0; k < 50 || w.results_taken !== w.results; k++) { settle(); await sleep(10); }
say({ done: true });
await server.shutdown(100);
process.exit(0);
