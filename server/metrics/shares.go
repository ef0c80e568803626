package metrics

import (
	"container/list"
	"strings"
	"time"
)

// shares bounds the series named by callers. Each caller has a share, and all callers of
// a kind together have a room, so that a caller that invents many names fills neither the
// memory nor the room of those with tokens or certificates. A name gives way to a new one
// once nobody has used it for a while: the least recently used first, and one of the same
// caller before those of others; a name in use is never displaced. What finds no room has
// to be counted as other. Every step takes the same time, however many names there are.
//
// Its user must guard it.
type shares[K comparable, V any] struct {
	each, all int           // sizes of one caller, and of all callers of a kind
	idle      time.Duration // a name that was not used for longer may give way
	gone      func(K)       // is told of each name that did; nil: nobody is

	held          map[K]*share[K, V]
	callers, kind map[string]*room[K, V]
}

// share is what one name holds. It counts for the caller that used it first.
type share[K comparable, V any] struct {
	of                   V
	key                  K
	size                 int
	seen                 time.Time
	caller               string
	ofCaller, ofKind     *list.Element
	callerRoom, kindRoom *room[K, V]
}

// room is what a caller or a kind of callers holds, least recently used first.
type room[K comparable, V any] struct {
	size  int
	names list.List
}

func newShares[K comparable, V any](each, all int, idle time.Duration) *shares[K, V] {
	return &shares[K, V]{each: each, all: all, idle: idle, held: map[K]*share[K, V]{},
		callers: map[string]*room[K, V]{}, kind: map[string]*room[K, V]{}}
}

// use gives what a name holds after adding more to it, or nil if it holds nothing and
// there is no room. fits is false if there is no room for more.
func (s *shares[K, V]) use(key K, more int, caller string, now time.Time) (h *share[K, V], fits bool) {
	h = s.held[key]
	if h != nil {
		h.seen = now
		h.callerRoom.names.MoveToBack(h.ofCaller)
		h.kindRoom.names.MoveToBack(h.ofKind)
		if more > 0 && !s.fit(h.callerRoom, h.kindRoom, more, now) {
			return h, false
		}
	} else {
		kind, _, _ := strings.Cut(caller, ":")
		c, k := roomOf(s.callers, caller), roomOf(s.kind, kind)
		if !s.fit(c, k, more, now) {
			s.tidy(caller, c)
			return nil, false
		}
		s.callers[caller] = c // its last name may just have gone
		h = &share[K, V]{key: key, seen: now, caller: caller, callerRoom: c, kindRoom: k}
		h.ofCaller, h.ofKind = c.names.PushBack(h), k.names.PushBack(h)
		s.held[key] = h
	}
	h.size += more
	h.callerRoom.size += more
	h.kindRoom.size += more
	return h, true
}

func roomOf[K comparable, V any](of map[string]*room[K, V], name string) *room[K, V] {
	if of[name] == nil {
		of[name] = &room[K, V]{}
	}
	return of[name]
}

// fit reports whether there is room for more, after idle names gave way.
func (s *shares[K, V]) fit(c, k *room[K, V], more int, now time.Time) bool {
	for c.size+more > s.each {
		if !s.first(c, now) {
			return false
		}
	}
	for k.size+more > s.all {
		if !s.first(k, now) {
			return false
		}
	}
	return true
}

// first drops the first name of a room if it is idle.
func (s *shares[K, V]) first(r *room[K, V], now time.Time) bool {
	front := r.names.Front()
	if front == nil {
		return false
	}
	h := front.Value.(*share[K, V])
	if now.Sub(h.seen) <= s.idle {
		return false
	}
	s.drop(h)
	return true
}

func (s *shares[K, V]) drop(h *share[K, V]) {
	delete(s.held, h.key)
	h.callerRoom.names.Remove(h.ofCaller)
	h.kindRoom.names.Remove(h.ofKind)
	h.callerRoom.size -= h.size
	h.kindRoom.size -= h.size
	s.tidy(h.caller, h.callerRoom)
	if s.gone != nil {
		s.gone(h.key)
	}
}

// tidy forgets a caller that holds nothing.
func (s *shares[K, V]) tidy(caller string, c *room[K, V]) {
	if c.names.Len() == 0 {
		delete(s.callers, caller)
	}
}

// unseen drops what was not used since a time.
func (s *shares[K, V]) unseen(since time.Time) {
	for _, r := range s.kind {
		for front := r.names.Front(); front != nil; front = r.names.Front() {
			h := front.Value.(*share[K, V])
			if !h.seen.Before(since) {
				break
			}
			s.drop(h)
		}
	}
}
