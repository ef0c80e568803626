// How the page turns a board that a plan has turned: worked out by hand.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';

// The page's files are modules without a package to say so.
const source = await readFile(new URL('../web/turns.js', import.meta.url), 'utf8');
const { lying, turnOf } = await import(`data:text/javascript,${encodeURIComponent(source)}`);

const board = { board_id: 'b', length_mm: 1000, near_edge_straight: true, stations: [{ far_mm: 90 }, { x_mm: 900, near_mm: 5, far_mm: 100 }],
  defects: [{ from_x_mm: 200, to_x_mm: 250, from_y_mm: 10, to_y_mm: 30, kind: 'knot' }] };
const by = (turn) => lying(board, { setting: { turn } });

test('a board is shown as its plan turns it', () => {
  assert.deepEqual(by('BOARD_TURN_EDGE_OVER_EDGE'), { board_id: 'b', length_mm: 1000, near_edge_straight: false,
    stations: [{ x_mm: 0, near_mm: 10, far_mm: 100 }, { x_mm: 900, near_mm: 0, far_mm: 95 }],
    defects: [{ from_x_mm: 200, to_x_mm: 250, from_y_mm: 70, to_y_mm: 90, kind: 'knot' }] });
  assert.deepEqual(by('BOARD_TURN_END_OVER_END'), { board_id: 'b', length_mm: 1000, near_edge_straight: true,
    stations: [{ x_mm: 100, near_mm: 5, far_mm: 100 }, { x_mm: 1000, near_mm: 0, far_mm: 90 }],
    defects: [{ from_x_mm: 750, to_x_mm: 800, from_y_mm: 10, to_y_mm: 30, kind: 'knot' }] });
  assert.deepEqual(by('BOARD_TURN_END_FOR_END').stations, [{ x_mm: 100, near_mm: 0, far_mm: 95 }, { x_mm: 1000, near_mm: 10, far_mm: 100 }]);
});

test('a board that is not turned stays as it is', () => {
  for (const turn of [undefined, 'BOARD_TURN_AS_SCANNED']) {
    assert.equal(by(turn), board);
    assert.equal(turnOf({ setting: { turn } }), '');
  }
  assert.equal(turnOf(null), '');
});
