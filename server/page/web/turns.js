// How a board is turned before it is fed.

export const ways = [['BOARD_TURN_END_FOR_END', 'end for end'], ['BOARD_TURN_EDGE_OVER_EDGE', 'edge over edge'], ['BOARD_TURN_END_OVER_END', 'end over end']];

// turnOf says how a plan turns the board; empty: not at all.
export const turnOf = (plan) => ways.find(([name]) => name === plan?.setting?.turn)?.[1] ?? '';

// lying gives a board as it lies once a plan has turned it.
export function lying(board, plan) {
  const turn = turnOf(plan), st = board.stations ?? [];
  if (!turn || st.length === 0) return board;
  const ends = turn !== 'edge over edge', edges = turn !== 'end over end', length = board.length_mm ?? 0;
  const sum = Math.min(...st.map((p) => p.near_mm ?? 0)) + Math.max(...st.map((p) => p.far_mm ?? 0));
  const x = (v = 0) => ends ? length - v : v;
  const across = (from = 0, to = 0) => edges ? [sum - to, sum - from] : [from, to];
  const stations = st.map((p) => {
    const [near_mm, far_mm] = across(p.near_mm, p.far_mm);
    return { x_mm: x(p.x_mm), near_mm, far_mm };
  });
  const defects = (board.defects ?? []).map((d) => {
    const [from_y_mm, to_y_mm] = across(d.from_y_mm, d.to_y_mm), [from_x_mm, to_x_mm] = [x(d.from_x_mm), x(d.to_x_mm)].sort((a, b) => a - b);
    return { ...d, from_x_mm, to_x_mm, from_y_mm, to_y_mm };
  });
  return { ...board, stations: ends ? stations.reverse() : stations, defects, near_edge_straight: board.near_edge_straight && !edges };
}
