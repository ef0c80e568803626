// The request under work: board, saw, where it stands, order and options, in the shape that the
// interface takes, so that a field's path is the path by which the service names
// it. Whoever shows it watches it.

const watchers = new Set();

export const job = { board: {}, saw: {}, current_setting: {}, order: { items: [] }, options: { runners_up: 3 } };

// A change is told with whether the shape changed: rows or whole parts came or went.
export const onJob = (w) => watchers.add(w);
export const changed = (shape = false) => watchers.forEach((w) => w(shape));

// replace takes another board, saw or order.
export function replace(part, value) {
  job[part] = structuredClone(value);
  if (part === 'saw') job.current_setting = {}; // where another saw stood
  changed(true);
}

// stand says where each blade stands now: a fixed one where the saw has it, a moving
// one where it stood, and at first at the lower end of its travel.
export function stand() {
  const at = job.current_setting ??= {}, was = at.blades_mm ?? [];
  at.fence_mm ??= job.saw.fence?.min_mm ?? 0;
  at.blades_mm = (job.saw.blades ?? []).map((b, i) => b.moving ? was[i] ?? b.moving.min_mm ?? 0 : b.fixed_mm ?? 0);
}

const steps = (path) => path.match(/[^.[\]]+/g) ?? [];

export function get(path, root = job) {
  return steps(path).reduce((at, step) => at?.[step], root);
}

// put sets a field, or takes it away if v is undefined, and makes what is missing
// on the way.
export function put(path, v, root = job) {
  const all = steps(path), last = all.pop();
  let at = root;
  for (const step of all) at = at[step] ??= {};
  if (v === undefined) delete at[last];
  else at[last] = v;
}

// edges gives near and far edge of the job's board at x, straight between
// stations and level beyond them; null where there is no station yet.
export function edges(x, board = job.board) {
  const st = board.stations ?? [];
  if (st.length === 0) return null;
  const at = (i) => ({ x: st[i].x_mm ?? 0, near: st[i].near_mm ?? 0, far: st[i].far_mm ?? 0 });
  if (x <= at(0).x) return at(0);
  for (let i = 1; i < st.length; i++) {
    const a = at(i - 1), b = at(i);
    if (x <= b.x) {
      const t = (x - a.x) / (b.x - a.x || 1);
      return { x, near: a.near + t * (b.near - a.near), far: a.far + t * (b.far - a.far) };
    }
  }
  return at(st.length - 1);
}
