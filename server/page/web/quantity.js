// Reads quantities of files, which carry their units: 2-3/4in, 120 lineal ft, 60 sq ft,
// 1h 30min, 65 ft/min, 0.5 s; 0 needs none. Units are exact: NIST SP 811, Appendix B.8.
// As Go's package people reads them, so that a file means the same here and in ripctl.

const number = String.raw`(?:(\d+)(?:\s*-\s*|\s+)(\d+)\s*\/\s*(\d+)|(\d+)\s*\/\s*(\d+)|(\d+(?:\.\d*)?|\.\d+))`;
const inch = 25.4, foot = 12 * inch;
const lengths = { mm: 1, cm: 10, m: 1000, in: inch, inch, inches: inch, '"': inch, '″': inch, "''": inch, ft: foot, foot, feet: foot, "'": foot, '′': foot, lf: foot };
const areas = { m: 1, in: 0.00064516, inches: 0.00064516, ft: 0.09290304, feet: 0.09290304 };
const times = { h: 60, hr: 60, hrs: 60, hour: 60, hours: 60, min: 1, mins: 1, minute: 1, minutes: 1, s: 1 / 60, sec: 1 / 60, second: 1 / 60, seconds: 1 / 60 };
const milliseconds = { ms: 1, msec: 1, millisecond: 1, milliseconds: 1 };
for (const [name, minutes] of Object.entries(times)) milliseconds[name] = Math.round(minutes * 60_000);
const speeds = { fpm: foot / 60 }; // in mm/s
for (const [length, mm] of Object.entries(lengths)) {
  for (const [time, minutes] of Object.entries(times)) speeds[`${length}/${time}`] = mm / Math.round(minutes * 60);
}
const lengthNames = String.raw`mm|cm|m|inches|inch|in|feet|foot|ft|lf|''|"|″|'|′`;
const timeNames = 'hours|hour|hrs|hr|h|minutes|minute|mins|min|seconds|second|sec|s';
const bare = new RegExp(`^\\s*${number}\\s*$`); // without a unit, which only 0 may be
const term = (names) => new RegExp(`^\\s*${number}\\s*${names}`);

// The kinds are numbered as Go's package file numbers them. Units are tried longest
// first; next is what may follow a unit: inches feet, minutes hours.
const kinds = {
  1: { term: term(String.raw`(?:(?:lineal|linear|lin\.?)\s*)?(${lengthNames})\.?`), units: lengths, next: (a, b, v) => a === foot && b === inch && v < 12, such: '44.5mm or 2-3/4in', digits: 1e6 },
  3: { term: term(String.raw`(sq\.?\s*(?:m|feet|ft|inches|in)|(?:m|ft|in)(?:\^?2|²)|sqm|sqft|sf)`), units: areas, name: areaName, next: () => false, such: '12.5m2 or 60 sq ft', digits: 1e12 },
  4: { term: term(String.raw`(${timeNames})\.?`), units: times, next: (a, b, v) => a === 60 && b === 1 && v < 60, such: '1h 30min', digits: 1e9 },
  6: { term: term(String.raw`((?:${lengthNames})\.?\s*(?:\/|per\s)\s*(?:${timeNames})|fpm)\.?`), units: speeds, name: speedName, next: () => false, such: '300mm/s or 12in/s', digits: 1e9 },
  7: { term: term(String.raw`(milliseconds|millisecond|msec|ms|${timeNames})\.?`), units: milliseconds, next: () => false, such: '0.5s or 400ms', digits: 1e9, of: 1000 },
};
kinds[2] = { ...kinds[1], such: '60m or 200 lineal ft', of: 1000 };
kinds[5] = { ...kinds[6], such: '20m/min or 65ft/min', of: 1000 / 60 };

function areaName(text) {
  if (text === 'sf') return 'ft';
  return text.startsWith('sq') ? text.slice(2).replace(/^[. \t]+/, '') : text.replace(/[\^2²]+$/, '');
}

function speedName(text) {
  return text.replace(/\.?\s*(?:\/|per\s)\s*/, '/');
}

// value gives the number of a match: whole and fraction, fraction, or decimal.
function value(m) {
  return m[1] !== undefined ? Number(m[1]) + m[2] / m[3] : m[4] !== undefined ? m[4] / m[5] : Number(m[6]);
}

// quantity gives a text in what a field of that kind counts: mm, m, m2, minutes, m/min,
// mm/s or s.
// It throws what is wrong with it.
export function quantity(kind, text) {
  const k = kinds[kind];
  let rest = text.trim().toLowerCase(), sum = 0, last = 0;
  const negative = rest.startsWith('-');
  if (negative) rest = rest.slice(1);
  const wrong = () => new Error(`"${text}" cannot be read; write it with its unit, as ${k.such}`);
  if (text.length > 64) throw wrong();
  const alone = bare.exec(rest);
  if (alone && value(alone) === 0) return 0;
  while (rest !== '') {
    const m = k.term.exec(rest);
    if (!m || /^\p{L}/u.test(rest.slice(m[0].length))) throw wrong();
    const size = k.units[k.name ? k.name(m[7]) : m[7]];
    const v = value(m);
    if (!Number.isFinite(v) || last !== 0 && !k.next(last, size, v)) throw wrong();
    sum += v * size;
    last = size;
    rest = rest.slice(m[0].length).trim();
  }
  if (last === 0) throw wrong();
  if (negative && kind > 3) throw wrong();
  const v = sum / (k.of ?? 1) * (negative ? -1 : 1);
  return Math.round(v * k.digits) / k.digits; // what binary arithmetic adds comes off
}
