// Reads and writes quantities as people do. What is kept is always in the units of
// the interface (mm, m, m2, m/min); people see these or inches and feet. The inch
// is 25.4 mm and the foot 304.8 mm, exactly (NIST SP 811, Appendix B.8).

const inch = 25.4, foot = 304.8, squareFoot = 0.09290304;
const lengthUnits = { mm: 1, cm: 10, m: 1000, in: inch, inch, inches: inch, '"': inch, '″': inch, ft: foot, feet: foot, foot, "'": foot, '′': foot };

// system is 'mm' or 'in'.
let system = 'mm';
const watchers = new Set();

export const units = () => system;

export function setUnits(to) {
  system = to;
  watchers.forEach((w) => w());
}

export const onUnits = (w) => watchers.add(w);

// number reads a mixed fraction, a fraction or a decimal at the start of a text.
const number = /^\s*(?:(\d+)(?:\s*-\s*|\s+)(\d+)\s*\/\s*(\d+)|(\d+)\s*\/\s*(\d+)|(\d+(?:\.\d*)?(?:[eE][-+]?\d+)?|\.\d+))/;

function readNumber(text) {
  const m = number.exec(text);
  if (!m) return null;
  const [all, whole, top, bottom, top2, bottom2, decimal] = m;
  let value = Number(decimal);
  if (whole !== undefined) value = Number(whole) + Number(top) / Number(bottom);
  if (top2 !== undefined) value = Number(top2) / Number(bottom2);
  return Number.isFinite(value) ? { value, rest: text.slice(all.length) } : null;
}

// tidy takes off what binary arithmetic adds: interfaces count whole nanometres.
const tidy = (v) => Math.round(v * 1e6) / 1e6;

// readLength gives mm, or null for what is no length. Without a unit the number
// is in the system's own.
function readLength(text) {
  let rest = text.trim().toLowerCase();
  const negative = rest.startsWith('-');
  if (negative) rest = rest.slice(1);
  let sum = 0, last = 0;
  while (rest !== '') {
    const n = readNumber(rest);
    if (!n) return null;
    const unit = /^\s*(mm|cm|m|inches|inch|in|feet|foot|ft|"|″|'|′)?\.?(?![a-z])/.exec(n.rest);
    if (!unit) return null;
    const size = unit[1] ? lengthUnits[unit[1]] : system === 'in' ? inch : 1;
    if (last !== 0 && (last !== foot || size !== inch)) return null; // only feet go on, with inches
    sum += n.value * size;
    last = size;
    rest = n.rest.slice(unit[0].length).trim();
  }
  return last === 0 ? null : tidy(negative ? -sum : sum);
}

// readScaled reads a number and turns it from the system's unit into the
// interface's.
function readScaled(text, scale) {
  const negative = text.trim().startsWith('-');
  const n = readNumber(text.trim().replace(/^-/, ''));
  if (!n || n.rest.trim() !== '') return null;
  const v = n.value * (system === 'in' ? scale : 1);
  return negative ? -v : v;
}

const plain = (v, digits = 6) => String(Number(v.toFixed(digits)));

// inches writes mm as a fraction of an inch where it is one, down to 64ths, and
// as a decimal otherwise.
function inches(mm) {
  const parts = mm / inch * 64;
  const near = Math.round(parts);
  if (Math.abs(parts - near) > 1e-5) return plain(mm / inch, 4);
  const sign = near < 0 ? '-' : '';
  const whole = Math.floor(Math.abs(near) / 64);
  let top = Math.abs(near) % 64, bottom = 64;
  if (top === 0) return sign + whole;
  while (top % 2 === 0) { top /= 2; bottom /= 2; }
  return sign + (whole ? `${whole}-` : '') + `${top}/${bottom}`;
}

// nearInches is inches for a drawing: to the nearest 64th, marked by ~ if it is not
// that exactly.
function nearInches(mm) {
  const near = Math.round(mm / inch * 64) / 64 * inch;
  return (Math.abs(near - mm) > 1e-4 ? '~' : '') + inches(near);
}

function feetAndInches(mm) {
  if (Math.abs(mm) < foot) return inches(mm) + 'in';
  const feet = Math.trunc(tidy(mm) / foot);
  const rest = tidy(Math.abs(mm - feet * foot));
  return rest === 0 ? `${feet}ft` : `${feet}ft ${inches(rest)}in`;
}

// kinds say of a quantity how it is read, written into a field, and named.
const inInches = () => system === 'in';
export const kinds = {
  length: { read: readLength, write: (v) => inInches() ? inches(v) : plain(v), unit: () => inInches() ? 'in' : 'mm', such: () => inInches() ? '2-5/8 or 66.6mm' : '66.6 or 2-5/8in' },
  long: { read: readLength, write: (v) => inInches() ? feetAndInches(v) : plain(v), unit: () => inInches() ? 'ft, in' : 'mm', such: () => inInches() ? '8ft 4-1/2in or 2400mm' : '2400, 2.4m or 8ft' },
  metres: { read: (t) => readScaled(t, foot / 1000), write: (v) => plain(inInches() ? v * 1000 / foot : v, inInches() ? 3 : 6), unit: () => inInches() ? 'lineal ft' : 'm', such: () => '120' },
  area: { read: (t) => readScaled(t, squareFoot), write: (v) => plain(inInches() ? v / squareFoot : v, inInches() ? 3 : 6), unit: () => inInches() ? 'sq ft' : 'm²', such: () => '12.5' },
  feed: { read: (t) => readScaled(t, foot / 1000), write: (v) => plain(inInches() ? v * 1000 / foot : v, inInches() ? 2 : 6), unit: () => inInches() ? 'ft/min' : 'm/min', such: () => '30' },
  speed: { read: (t) => readScaled(t, inch), write: (v) => plain(inInches() ? v / inch : v, inInches() ? 3 : 6), unit: () => inInches() ? 'in/s' : 'mm/s', such: () => '250' },
  skew: { read: (t) => readScaled(t, 1), write: plain, unit: () => 'mm per m', such: () => '6' },
  // A level above 1 can only be meant in per cent.
  level: { read: (t) => { const v = readScaled(t.replace(/\s*%\s*$/, ''), 1); return v === null ? null : tidy(v > 1 || /%\s*$/.test(t) ? v / 100 : v); }, write: (v) => `${plain(100 * v)} %`, unit: () => '', such: () => '90 %' },
  number: { read: (t) => readScaled(t, 1), write: plain, unit: () => '', such: () => '12.5' },
};

// For reading only.
export const width = (mm) => inInches() ? `${nearInches(mm)} in` : `${plain(mm, 2)} mm`;
// decimalInches writes in decimals what width gives to the nearest 64th only; else nothing.
export const decimalInches = (mm) => inInches() && nearInches(mm).startsWith('~') ? (mm / inch).toFixed(3) : '';
export const bareWidth = (mm) => inInches() ? `${nearInches(mm)}"` : plain(mm, 2);
export const long = (mm) => inInches() ? feetAndInches(Math.round(mm / inch * 8) / 8 * inch) : `${(mm / 1000).toFixed(3)} m`;
export const lineal = (m) => inInches() ? `${(m * 1000 / foot).toFixed(1)} ft` : `${m.toFixed(2)} m`;
export const area = (m2) => inInches() ? `${(m2 / squareFoot).toFixed(2)} sq ft` : `${m2.toFixed(4)} m²`;
export const manyM2 = (m2) => inInches() ? `${(m2 / squareFoot).toFixed(1)} sq ft` : `${m2.toFixed(2)} m²`;
export const money = (v) => v.toFixed(2);
// noun gives the word for a number of things, many that with the number.
export const noun = (n, one, several = `${one}s`) => Number(n) === 1 ? one : several;
export const many = (n, one, several) => `${n} ${noun(n, one, several)}`;
export const percent = (part) => `${(100 * part).toFixed(1)} %`;

// amount writes an Amount message.
export function amount(a) {
  if (!a) return '';
  if (a.area_m2 !== undefined) return manyM2(a.area_m2);
  if (a.pieces !== undefined) return `${a.pieces} pieces`;
  return lineal(a.length_m ?? 0);
}

// measure gives the number in an Amount message.
export const measure = (a) => a ? a.area_m2 ?? a.pieces ?? a.length_m ?? 0 : 0;

// nudge is how far an arrow key moves things, and with Shift or Page keys.
export const nudge = (far) => inInches() ? inch / (far ? 2 : 32) : far ? 5 : 0.5;

// snap puts a dragged place on a round number of the system.
export const snap = (mm) => inInches() ? tidy(Math.round(mm / inch * 64) / 64 * inch) : Math.round(mm * 10) / 10;
