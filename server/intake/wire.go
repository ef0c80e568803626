package intake

import (
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/solver/fault"
)

// Wire walks a message in protobuf. It returns the bytes that it becomes and what is
// wrong with it. Bytes that cannot be read end the walk: the reader gets no further.
func (l Limits) Wire(raw []byte, d protoreflect.MessageDescriptor) (int64, fault.List) {
	w := &wireWalk{limits: l}
	w.message(raw, shapeOf(d), 0)
	if w.wrong == nil {
		return w.size, nil
	}
	return w.size, w.wrong
}

type wireWalk struct {
	limits Limits
	size   int64
	wrong  fault.List
	path   []step // to where the walk is, for a fault
}

// step is one field of the path and, for a list, its entry.
type step struct {
	of *member
	at int
}

// mostLists is how many lists a message may have and be counted without allocating.
const mostLists = 8

// message walks one, at a depth, and reports whether to go on.
func (w *wireWalk) message(raw []byte, s *shape, depth int) bool {
	if w.size += s.size; w.size > w.limits.Memory {
		w.wrong = w.limits.large()
		return false
	}
	if depth > mostDeep {
		w.wrong = deep()
		return false
	}
	var few [mostLists]int
	counts := few[:]
	if s.lists > mostLists {
		counts = make([]int, s.lists)
	}
	for len(raw) > 0 {
		number, kind, n := protowire.ConsumeTag(raw)
		if n < 0 {
			return false
		}
		raw = raw[n:]
		m := s.reads(number, kind)
		if kind != protowire.BytesType {
			if n = protowire.ConsumeFieldValue(number, kind, raw); n < 0 {
				return false
			}
			if raw = raw[n:]; m == nil {
				w.size += int64(n) + 8 // kept as it is, to be named
			} else if w.size += m.each; m.list && !w.count(m, counts, 1) {
				return false
			}
			continue
		}
		value, n := protowire.ConsumeBytes(raw)
		if n < 0 {
			return false
		}
		raw = raw[n:]
		switch {
		case m == nil:
			w.size += int64(n) + 8
		case m.is == nil && m.list && !m.chars: // packed
			entries := packed(value, m)
			w.size += m.each * int64(entries)
			if !w.count(m, counts, entries) {
				return false
			}
		case m.is == nil:
			if w.size += m.each + int64(len(value)); m.list && !w.count(m, counts, 1) {
				w.rest(raw, s, m, counts)
				return false
			}
		default:
			at := -1
			if w.size += m.each; m.list {
				at = counts[m.nth]
				if !w.count(m, counts, 1) {
					// The rest is only counted, to report how many there are.
					w.rest(raw, s, m, counts)
					return false
				}
			}
			w.path = append(w.path, step{m, at})
			if !w.message(value, m.is, depth+1) {
				return false
			}
			w.path = w.path[:len(w.path)-1]
		}
		if w.size > w.limits.Memory {
			w.wrong = w.limits.large()
			return false
		}
	}
	return true
}

func (w *wireWalk) count(m *member, counts []int, n int) bool {
	counts[m.nth] += n
	if w.limits.Sized || !m.over(counts[m.nth]) {
		return true
	}
	w.wrong = crowded(w.at(m), counts[m.nth], m)
	return false
}

// rest counts the further entries of a list that has too many, and reports it.
func (w *wireWalk) rest(raw []byte, s *shape, m *member, counts []int) {
	for len(raw) > 0 {
		got, kind, n := protowire.ConsumeField(raw)
		if n < 0 {
			break
		}
		if s.reads(got, kind) == m {
			counts[m.nth]++
		}
		raw = raw[n:]
	}
	w.wrong = crowded(w.at(m), counts[m.nth], m)
}

func (w *wireWalk) at(m *member) string {
	path := ""
	for _, s := range w.path {
		if path = below(path, s.of.name); s.at >= 0 {
			path = entry(path, s.at)
		}
	}
	return below(path, m.name)
}

// packed counts the numbers of a packed list: those of fixed length by their length,
// others by their last bytes.
func packed(raw []byte, m *member) (n int) {
	if m.fixed > 0 {
		return len(raw) / m.fixed
	}
	for _, b := range raw {
		if b < 0x80 {
			n++
		}
	}
	return n
}
