// How the page reads and writes quantities. Factors: NIST Special Publication 811,
// Appendix B.8 (1 in = 25.4 mm, 1 ft = 304.8 mm, 1 ft2 = 0.09290304 m2, all exact).

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';

// The page's files are modules without a package to say so.
const source = await readFile(new URL('../web/units.js', import.meta.url), 'utf8');
const u = await import(`data:text/javascript,${encodeURIComponent(source)}`);
const { kinds, setUnits } = u;

test('lengths are read as people write them', () => {
  setUnits('mm');
  for (const [text, mm] of Object.entries({
    '66.6': 66.6, '66.6mm': 66.6, ' 2.4m ': 2400, '12 cm': 120, '1-3/4in': 44.45, '1 3/4"': 44.45, '7/4 in': 44.45, '2-5/8in': 66.675,
    '12ft 6in': 3810, "8' 4-1/2\"": 2552.7, '.5': 0.5, '-2in': -50.8, '1/64in': 0.396875, '3 in.': 76.2,
  })) assert.equal(kinds.length.read(text), mm, text);
  for (const text of ['x', '44.5 furlong', '3in 4in', '3ft 4mm', '--3', '1¾in', 'NaN', '1,5', '44.5mmm', '5 5', '1/0in'])
    assert.equal(kinds.length.read(text), null, text);
});

test('a bare number is in the units that are shown', () => {
  setUnits('in');
  assert.equal(kinds.length.read('2-5/8'), 66.675);
  assert.equal(kinds.length.read('66.6mm'), 66.6);
  assert.equal(kinds.metres.read('100'), 30.48);
  assert.ok(Math.abs(kinds.area.read('100') - 9.290304) < 1e-12);
  setUnits('mm');
  assert.equal(kinds.metres.read('100'), 100);
});

test('what is written is read back as the same length', () => {
  for (const system of ['mm', 'in']) {
    setUnits(system);
    for (let n = -2000; n < 60000; n += 37) { // 64ths of an inch: all exact in both
      const mm = Math.round(n * 396875) / 1e6;
      assert.equal(kinds.length.read(kinds.length.write(mm)), mm, `${n}/64 in`);
      if (n >= 0) assert.equal(kinds.long.read(kinds.long.write(mm)), mm, `${n}/64 in, long`);
    }
  }
});

test('fractions are in lowest terms and only where they are exact', () => {
  setUnits('in');
  assert.equal(kinds.length.write(44.45), '1-3/4');
  assert.equal(kinds.length.write(25.4), '1');
  assert.equal(kinds.length.write(0.396875), '1/64');
  assert.equal(kinds.length.write(66.6), '2.622');
  assert.equal(kinds.long.write(3810), '12ft 6in');
  assert.equal(u.width(66.6), '~2-5/8 in');
  assert.equal(u.width(66.675), '2-5/8 in');
  setUnits('mm');
});
