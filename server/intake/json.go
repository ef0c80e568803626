package intake

import (
	"encoding/json"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/solver/fault"
)

// JSON walks a message in JSON. It returns the bytes that it becomes and what is wrong
// with it. It looks only at braces, brackets and strings and leaves it to the reader to
// find malformed JSON; the reader gets no further than this walk did.
func (l Limits) JSON(raw []byte, d protoreflect.MessageDescriptor) (int64, fault.List) {
	w := &jsonWalk{raw: raw, limits: l}
	w.walk(shapeOf(d))
	return w.size, w.wrong
}

type jsonWalk struct {
	raw    []byte
	at     int
	limits Limits
	size   int64
	wrong  fault.List
	open   []container
}

// container is an object or a list that has not ended.
type container struct {
	list    bool
	of      *shape  // of an object; nil: the schema has none here
	in      *member // that a list is the value of
	next    *member // whose value comes next in an object
	holds   *member // whose value is the object that is open in it
	entries int
	key     bool // the next string is a key
}

func (w *jsonWalk) walk(top *shape) {
	for ; w.at < len(w.raw) && w.wrong == nil; w.at++ {
		switch c := w.raw[w.at]; c {
		case '{', '[':
			w.begin(c == '[', top)
		case '}', ']':
			if len(w.open) == 0 || w.open[len(w.open)-1].list != (c == ']') {
				return // not JSON
			}
			w.end()
		case ',':
			if t := w.top(); t != nil {
				t.key = !t.list
			}
		case '"':
			w.text()
		case ' ', '\t', '\r', '\n', ':':
		default:
			w.value(0)
			for w.at+1 < len(w.raw) && !ends(w.raw[w.at+1]) {
				w.at++
			}
		}
		if w.wrong == nil && w.size > w.limits.Memory {
			w.wrong = w.limits.large()
		}
	}
}

// ends reports whether a byte can come after a number or a word.
func ends(c byte) bool {
	switch c {
	case ',', ']', '}', ' ', '\t', '\r', '\n', '"', '{', '[', ':':
		return true
	}
	return false
}

func (w *jsonWalk) top() *container {
	if len(w.open) == 0 {
		return nil
	}
	return &w.open[len(w.open)-1]
}

// value counts a value at its place, with its bytes of text, and gives its field.
func (w *jsonWalk) value(text int) *member {
	t := w.top()
	if t == nil {
		return nil
	}
	if !t.list {
		m := t.next
		t.next, t.holds = nil, m
		if m != nil && !m.list {
			w.size += m.each + int64(text)
		}
		return m
	}
	t.entries++
	if t.in == nil {
		return nil
	}
	if w.size += t.in.each + int64(text); t.in.over(t.entries) {
		w.rest(t)
	}
	return t.in
}

func (w *jsonWalk) begin(list bool, top *shape) {
	if len(w.open) >= mostDeep {
		w.wrong = deep()
		return
	}
	if len(w.open) == 0 {
		w.push(container{list: list, of: top, key: true})
		return
	}
	inList := w.top().list
	m := w.value(0)
	switch {
	case w.wrong != nil:
	case list && m != nil && m.list && !inList:
		w.push(container{list: true, in: m})
	case !list && m != nil && m.is != nil:
		w.push(container{of: m.is, key: true})
	default:
		w.push(container{list: list, key: !list})
	}
}

func (w *jsonWalk) push(c container) {
	if c.of != nil && !c.list {
		w.size += c.of.size
	}
	w.open = append(w.open, c)
}

func (w *jsonWalk) end() { w.open = w.open[:len(w.open)-1] }

// text passes over a string, which is a key or a value.
func (w *jsonWalk) text() {
	from, escaped := w.at+1, false
	for w.at++; w.at < len(w.raw) && w.raw[w.at] != '"'; w.at++ {
		if w.raw[w.at] == '\\' {
			escaped = true
			w.at++
		}
	}
	to := min(w.at, len(w.raw))
	t := w.top()
	if t == nil || t.list || !t.key {
		w.at++ // past the quote, where the rest is counted from
		w.value(to - from)
		w.at--
		return
	}
	t.key = false
	if t.of == nil {
		return
	}
	name := string(w.raw[min(from, to):to])
	if escaped && json.Unmarshal(w.raw[from-1:min(to+1, len(w.raw))], &name) != nil {
		return
	}
	t.next = t.of.byName[name]
}

// rest counts the further entries of a list that has too many, and reports it.
func (w *jsonWalk) rest(t *container) {
	path, m := w.path(), t.in
	n, depth := t.entries, 0
	for w.at < len(w.raw) && depth >= 0 {
		switch w.raw[w.at] {
		case '{', '[':
			depth++
		case '}', ']':
			depth--
		case ',':
			if depth == 0 {
				n++
			}
		case '"':
			for w.at++; w.at < len(w.raw) && w.raw[w.at] != '"'; w.at++ {
				if w.raw[w.at] == '\\' {
					w.at++
				}
			}
		}
		w.at++
	}
	w.wrong = crowded(path, n, m)
}

// path is that of the list being walked.
func (w *jsonWalk) path() (path string) {
	for i, c := range w.open {
		switch {
		case c.list && c.in != nil:
			if path = below(path, c.in.name); i < len(w.open)-1 {
				path = entry(path, c.entries-1)
			}
		case !c.list && i > 0 && !w.open[i-1].list && w.open[i-1].holds != nil:
			path = below(path, w.open[i-1].holds.name)
		}
	}
	return path
}
