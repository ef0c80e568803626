// Charts on paper: drawn for the width of a sheet, or their letters would shrink with them.

const sheet = 690; // px, what margins leave of the narrower of A4 and Letter
const printing = matchMedia('print');

// wide is how wide to draw in a room.
export const wide = (room) => printing.matches ? sheet : room.clientWidth;

// onPaper has charts drawn anew before they are printed and afterwards.
export const onPaper = (draw) => printing.addEventListener('change', draw);
