package line

import "sync"

// remembered is how many confirmations are recognised again.
const remembered = 1 << 16

// once remembers the latest names and their contents, up to a number.
type once struct {
	mu    sync.Mutex
	known map[string]uint64
	ring  []string // oldest at next
	next  int
}

func newOnce(most int) *once {
	return &once{known: make(map[string]uint64), ring: make([]string, most)}
}

// first reports whether a name is new and, if not, whether it has the same content.
func (o *once) first(name string, content uint64) (isNew, same bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if before, ok := o.known[name]; ok {
		return false, before == content
	}
	delete(o.known, o.ring[o.next])
	o.ring[o.next] = name
	o.known[name] = content
	o.next = (o.next + 1) % len(o.ring)
	return true, true
}
