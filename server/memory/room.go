package memory

import (
	"context"
	"strconv"
	"sync"
	"sync/atomic"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/caller"
)

// Room bounds what requests, from their first byte to the last byte of their answer, and
// open lines may hold together. It counts upper estimates. A nil one has no bounds.
//
// A caller may hold a multiple of what is free (the dynamic threshold of Choudhury and
// Hahne, IEEE/ACM Transactions on Networking 6(2), 1998, from memory): one alone nearly
// all, each of many an equal part, and something is always left for newcomers. A small
// part is every caller's own.
type Room struct {
	most int64

	mu   sync.Mutex
	held int64
	by   map[string]int64 // callers that hold anything

	lent sync.Map // accounts by name
	next atomic.Uint64
}

const (
	// timesFree is the multiple of what is free that a caller may hold.
	timesFree = 3
	// ownPart is the fraction of the room that a caller gets however little is free, as
	// long as all hold at most overPart halves of the room.
	ownPart  = 64
	overPart = 3
)

// NewRoom makes a room of that many bytes.
func NewRoom(most int64) *Room { return &Room{most: most, by: map[string]int64{}} }

// Account is what one call or line holds. It may be used by several goroutines. A nil
// one has no bounds.
type Account struct {
	room   *Room
	caller string
	held   int64 // under the room's lock
	// strict: a caller that is alone has no more than its share.
	strict bool
}

// Open opens an account for a caller. The caller must close it.
func (r *Room) Open(of string) *Account {
	if r == nil {
		return nil
	}
	return &Account{room: r, caller: of}
}

// Strict opens an account for what grows bit by bit, which is bounded even for a caller
// that is alone.
func (r *Room) Strict(of string) *Account {
	a := r.Open(of)
	if a != nil {
		a.strict = true
	}
	return a
}

// Caller is whose account it is.
func (a *Account) Caller() string {
	if a == nil {
		return ""
	}
	return a.caller
}

// Take takes n bytes, or reports that there is no room for them. A caller that is alone
// always finds room: no request within the limits is too large for ever.
func (a *Account) Take(n int64) bool {
	if a == nil {
		return true
	}
	r := a.room
	r.mu.Lock()
	defer r.mu.Unlock()
	of := r.by[a.caller] + n
	switch {
	case r.held == a.held && !a.strict: // alone
	case of <= timesFree*(r.most-r.held) && r.held+n <= r.most:
	case of <= r.most/ownPart && r.held+n <= r.most/2*overPart:
	default:
		return false
	}
	a.add(n)
	return true
}

// Force takes n bytes that are in use already.
func (a *Account) Force(n int64) {
	if a == nil {
		return
	}
	a.room.mu.Lock()
	defer a.room.mu.Unlock()
	a.add(n)
}

// Give gives back n bytes of what Take took.
func (a *Account) Give(n int64) { a.Force(-n) }

// Close gives back all that is left.
func (a *Account) Close() {
	if a == nil {
		return
	}
	a.room.mu.Lock()
	defer a.room.mu.Unlock()
	a.add(-a.held)
}

func (a *Account) add(n int64) {
	r := a.room
	a.held += n
	r.held += n
	if r.by[a.caller] += n; r.by[a.caller] == 0 {
		delete(r.by, a.caller)
	}
}

// Held is how much is taken.
func (r *Room) Held() int64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.held
}

// Most is how much may be taken.
func (r *Room) Most() int64 { return r.most }

// Lend makes an account known by a name, until done is called, to code that works on the
// same call elsewhere in the process.
func (r *Room) Lend(a *Account) (name string, done func()) {
	if r == nil {
		return "", func() {}
	}
	name = strconv.FormatUint(r.next.Add(1), 36)
	r.lent.Store(name, a)
	return name, func() { r.lent.Delete(name) }
}

// Lent gives the account of a name; nil: there is none.
func (r *Room) Lent(name string) *Account {
	if r == nil {
		return nil
	}
	a, _ := r.lent.Load(name)
	account, _ := a.(*Account)
	return account
}

type accountKey struct{}

// With gives a context of a call that holds what the account says.
func With(ctx context.Context, a *Account) context.Context {
	return context.WithValue(ctx, accountKey{}, a)
}

// For gives the account of a call, or a new one if it has none, which done closes.
func (r *Room) For(ctx context.Context) (a *Account, done func()) {
	if a, _ = ctx.Value(accountKey{}).(*Account); a != nil && a.room == r { // a nil room has none
		return a, func() {}
	}
	a = r.Open(caller.Of(ctx))
	return a, a.Close
}

// Part opens an account for a part of a call: what it takes counts as the call's, and
// done gives it back. The room may be nil.
func (r *Room) Part(ctx context.Context) (take func(int64) bool, done func()) {
	a, _ := r.For(ctx)
	var mu sync.Mutex
	var taken int64
	return func(n int64) bool {
			mu.Lock()
			defer mu.Unlock()
			if !a.Take(n) {
				return false
			}
			taken += n
			return true
		}, func() {
			mu.Lock()
			defer mu.Unlock()
			a.Give(taken)
			taken = 0
		}
}

// perByte is how many bytes a byte of a message becomes while it is worked on, in
// addition to the message itself, which is counted where it is read.
const perByte = 8

// Of estimates what the work on a request holds.
func Of(m proto.Message) int64 {
	if quick, ok := m.(interface{ SizeVT() int }); ok {
		return perByte * int64(quick.SizeVT())
	}
	return perByte * int64(proto.Size(m))
}
