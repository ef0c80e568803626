package line

import "sync"

// remembered is how many confirmations are known again.
const remembered = 1 << 16

// once remembers the last names it was told, up to a number.
type once struct {
	mu    sync.Mutex
	known map[string]bool
	ring  []string // oldest at next
	next  int
}

func newOnce(most int) *once {
	return &once{known: make(map[string]bool), ring: make([]string, most)}
}

// first reports whether a name is new.
func (o *once) first(name string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.known[name] {
		return false
	}
	delete(o.known, o.ring[o.next])
	o.ring[o.next] = name
	o.known[name] = true
	o.next = (o.next + 1) % len(o.ring)
	return true
}
