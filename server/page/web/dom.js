// Makes elements. Text is always set as text, never parsed.

const svgSpace = 'http://www.w3.org/2000/svg';

function fill(e, attributes, children) {
  for (const [name, v] of Object.entries(attributes ?? {})) {
    if (v === undefined || v === null || v === false) continue;
    if (name.startsWith('on')) e.addEventListener(name.slice(2), v);
    else if (name === 'value' || name === 'checked' || name === 'disabled' || name === 'hidden' || name === 'selected') e[name] = v;
    else e.setAttribute(name, v === true ? '' : v);
  }
  e.append(...children.flat(Infinity).filter((c) => c !== undefined && c !== null && c !== false));
  return e;
}

export const h = (tag, attributes, ...children) => fill(document.createElement(tag), attributes, children);
export const s = (tag, attributes, ...children) => fill(document.createElementNS(svgSpace, tag), attributes, children);
export const byID = (id) => document.getElementById(id);

// button is one that does something on this page.
export const button = (text, does, attributes) => h('button', { type: 'button', onclick: does, ...attributes }, text);

// speak tells people who hear the page what changed.
export function speak(text) {
  const live = byID('spoken');
  if (live.textContent !== text) live.textContent = text;
}

// table makes one with a caption, heads and rows of cells; the first of a row is
// its head. Cells after it are numbers.
export function table(caption, heads, rows, attributes) {
  return h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': caption }, h('table', attributes,
    h('caption', {}, caption),
    h('thead', {}, h('tr', {}, heads.map((t, i) => h('th', { scope: 'col', class: i ? 'number' : null }, t)))),
    h('tbody', {}, rows.map((cells) => h('tr', {}, cells.map((c, i) => i ? h('td', { class: String(c).length < 28 ? 'number whole' : 'number' }, c) : h('th', { scope: 'row' }, c)))))));
}
