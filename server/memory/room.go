package memory

import (
	"sync"

	"google.golang.org/protobuf/proto"
)

// Room is what requests, from when they have been read to their answer, and lines,
// as long as they are open, may hold together. It goes by estimates from above. A
// nil one has no bounds.
type Room struct {
	most int64

	mu   sync.Mutex
	held int64
}

// NewRoom makes a room of so many bytes.
func NewRoom(most int64) *Room { return &Room{most: most} }

// Take takes so many bytes, or reports that there is no room for them. Who is alone
// always finds room: no request within the limits is too large for ever.
func (r *Room) Take(n int64) bool {
	if r == nil {
		return true
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.held > 0 && r.held+n > r.most {
		return false
	}
	r.held += n
	return true
}

// Give gives back what Take took.
func (r *Room) Give(n int64) {
	if r == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.held -= n
}

// Held is how much is taken, Most how much there is.
func (r *Room) Held() int64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.held
}

// Most is how much may be taken.
func (r *Room) Most() int64 { return r.most }

// perByte is how many bytes a byte of a message becomes: a message of its own for
// every few bytes, the solver's form of it beside that, and for JSON callers the
// message once more on the side of HTTP.
const perByte = 16

// Of estimates what a request holds.
func Of(m proto.Message) int64 { return perByte * int64(proto.Size(m)) }
