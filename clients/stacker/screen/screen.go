// Package screen shows the stacker in a browser which strips come out of the saw, legible
// from metres away.
package screen

import (
	"sync"
	"time"

	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Config of a screen.
type Config struct {
	When      outfeed.When
	Stale     time.Duration // a board that came out longer ago is no longer shown
	Inches    bool          // widths in inches, to the nearest 64th
	FenceLeft bool          // as seen from where the stacker stands
	Now       func() time.Time
}

// Screen keeps what is to be seen. Its methods are safe for concurrent use.
type Screen struct {
	cfg Config

	mu      sync.Mutex
	book    *outfeed.Book
	changed time.Time     // when the board shown came out
	bell    chan struct{} // closed at the next change
	viewers int
}

// New makes a screen that has seen nothing.
func New(cfg Config) *Screen {
	return &Screen{cfg: cfg, book: outfeed.New(cfg.When), changed: cfg.Now(), bell: make(chan struct{})}
}

// Opened records that a line has connected.
func (s *Screen) Opened() { s.do(func() bool { s.book.Opened(); return true }) }

// Closed records that a line has disconnected.
func (s *Screen) Closed() { s.do(func() bool { s.book.Closed(); return true }) }

// Sent records a message of a line.
func (s *Screen) Sent(m *ripwrightv1.RunLineRequest) {
	s.do(func() bool { s.book.Sent(m); return m.GetSetUp() != nil || m.GetResume() != nil })
}

// Answered records an answer of the service.
func (s *Screen) Answered(a *ripwrightv1.RunLineResponse) {
	s.do(func() bool { return s.book.Answered(a) })
}

// do changes the book, and rings the bell if that changes what is to be seen.
func (s *Screen) do(change func() bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	before := s.book.View()
	if !change() {
		return
	}
	if after := s.book.View(); after.State != before.State || after.BoardID != before.BoardID {
		s.changed = s.cfg.Now()
	}
	close(s.bell)
	s.bell = make(chan struct{})
}

// look gives what is to be seen and a channel that is closed when it changes.
func (s *Screen) look() (picture, <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	age := s.cfg.Now().Sub(s.changed)
	return s.cfg.picture(s.book.View(), age), s.bell
}
