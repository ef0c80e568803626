// The picture stays in view while people edit: where it is out of sight and an editor has
// the focus, it stands at the top of the window.

// redraw draws the picture for the room that it has.
export function keepInView(room, editors, redraw) {
  let editing = false, seen = true;
  const place = () => {
    const peek = editing && !seen, was = room.classList.contains('peek');
    // Its place is kept, or all that is below it would jump.
    if (peek && !was) room.style.minHeight = `${room.offsetHeight}px`;
    if (!peek) room.style.minHeight = '';
    if (room.classList.toggle('peek', peek) !== was) redraw();
  };
  new IntersectionObserver((entries) => { seen = entries.at(-1).isIntersecting; place(); }, { threshold: 0.35 }).observe(room);
  editors.addEventListener('focusin', () => { editing = true; place(); });
  editors.addEventListener('focusout', (e) => { editing = editors.contains(e.relatedTarget); place(); });
}
