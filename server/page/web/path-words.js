// How faults name fields that have no label in view: by the words of their path.

// readable writes a path in words: board.stations[3].near_mm is board, station 4, near.
export const readable = (path) => path.split('.').filter((s) => s).map((step) => {
  const [, name, n] = /^(\w*)(?:\[(\d+)\])?$/.exec(step) ?? [null, step];
  const word = name.replace(/_(mm|m|m2|mm_per_m|in|ft)$/, '').replaceAll('_', ' ');
  return n === undefined ? word : `${word.replace(/s$/, '')} ${Number(n) + 1}`.trim();
}).join(', ');
