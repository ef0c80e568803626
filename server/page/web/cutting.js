// Cuts a board shorter: its stations and defects up to the new end stay as they were
// scanned, and the edges at the end lie between the stations around it. Nothing is lost
// on the way: a length that is typed passes through shorter ones.

import { edges } from './job.js';

let last = null; // {board: as it was before it was cut, made: what the cut left of it}

const left = (b) => JSON.stringify([b.stations, b.defects]);
const fine = (v) => Math.round(v * 1000) / 1000;

// cutTo fits a board, whose length was another before, to its length.
export function cutTo(board, before) {
  const whole = last && last.made === left(board) ? last.board : structuredClone({ ...board, length_mm: before });
  const length = board.length_mm;
  Object.assign(board, structuredClone({ stations: whole.stations, defects: whole.defects }));
  if (length > 0 && (whole.stations ?? []).some((st) => (st.x_mm ?? 0) > length)) {
    const end = edges(length, whole);
    board.stations = board.stations.filter((st) => (st.x_mm ?? 0) < length);
    board.stations.push({ x_mm: length, near_mm: fine(end.near), far_mm: fine(end.far) });
  }
  if (length > 0) {
    board.defects = (board.defects ?? []).filter((d) => (d.from_x_mm ?? 0) < length);
    for (const d of board.defects) d.to_x_mm = Math.min(d.to_x_mm, length);
  }
  last = { board: whole, made: left(board) };
}
