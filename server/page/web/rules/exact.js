// Quantities as the service counts them: rounded once, halves away from zero, to whole
// nanometres. What it compares is compared here in the same integers.

export const round = (v) => Math.sign(v) * Math.round(Math.abs(v));
export const nm = (mm) => round((mm ?? 0) * 1e6);
export const fromNm = (v) => v / 1e6;

// some is nm of a length that may be absent, which is 0; one that is given is more.
export const some = (mm) => mm === undefined || mm === null ? 0 : Math.max(nm(mm), 1);

export const up = (v, step) => Math.ceil(v / step) * step;
export const down = (v, step) => Math.floor(v / step) * step;
export const whole = (a, b) => Math.trunc(a / b);
export const list = (v) => Array.isArray(v) ? v : [];
