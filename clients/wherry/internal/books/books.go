// Package books keeps on disk what a line must not forget.
//
// Records hold the messages sent to the service and not yet answered, its answers with
// the run's state, the boards that wait for their results, and the number of the PLC's
// results taken. Each record is appended, with a checksum, and is on disk before anything
// acts on it. Wherever the process is killed or the machine stops, the next process can
// continue from the books.
package books

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/gofrs/flock"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Books of one line. They are not safe for concurrent use.
type Books struct {
	path   string
	lock   *flock.Flock
	f      file
	size   int64
	most   int64 // size from which they are rewritten
	next   int64 // the same, after a failed attempt
	about  Message
	broken error
	// Spent is the total time of writing since they were opened.
	Spent time.Duration
	Content
}

// Content is what the books hold.
type Content struct {
	Run string
	// Sequence is that of the last answered message, State the state in its answer.
	Sequence int32
	State    []byte
	// Unanswered is the message without an answer, About its subject; nil: none.
	Unanswered []byte   `json:",omitempty"`
	About      *Message `json:",omitempty"`
	// Boards wait for their results, in the order in which they came.
	Boards []Board
	// Results are taken but not yet sent to the service, in order.
	Results []Result
	// Last is the last board for which a plan was requested and received.
	Last handover.Board
	// Boot of the PLC, and the number of results taken in it.
	Boot, Taken uint32
}

// Message is the subject of a message.
type Message struct {
	Board  *handover.Board `json:",omitempty"` // whose plan it requests
	Result *handover.Board `json:",omitempty"` // whose result it reports
}

// Board is a board for which a plan was requested.
type Board struct {
	handover.Board
	Sequence int32
	ID       string
	Answer   []byte `json:",omitempty"` // RunLineResponse without the run's state
}

// Result of a board, as the PLC wrote it.
type Result struct {
	handover.Board
	Plan    uint32
	Outcome contract.Outcome
	Widths  []float64 `json:",omitempty"` // in mm
}

// record is one entry. Exactly one field is set.
type record struct {
	Whole    *Content      `json:",omitempty"`
	Pending  *pending      `json:",omitempty"`
	Answered *answered     `json:",omitempty"`
	Results  *resultsTaken `json:",omitempty"`
	Dropped  *Board        `json:",omitempty"`
}

type pending struct {
	Message []byte
	About   Message
}

type answered struct {
	Sequence int32
	State    []byte
	Board    *Board `json:",omitempty"` // that waits from now on
}

type resultsTaken struct {
	Boot, Taken uint32
	Results     []Result
}

// ErrInUse says that another process has the books open.
var ErrInUse = errors.New("the books are in use by another bridge")

// mostSize is the size from which books are rewritten.
const mostSize = 32 << 20

// Open opens the books of a run in a folder, or creates them. Books of another run are
// refused: a new run needs another folder.
func Open(dir, run string) (*Books, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	b := &Books{path: filepath.Join(dir, "books"), lock: flock.New(filepath.Join(dir, "lock")), most: mostSize}
	if held, err := b.lock.TryLock(); err != nil || !held {
		return nil, errors.Join(ErrInUse, err)
	}
	if err := b.open(run); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", b.path, err), b.lock.Unlock())
	}
	return b, nil
}

func (b *Books) open(run string) error {
	text, err := os.ReadFile(b.path)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	records, good, err := [][]byte(nil), int64(0), error(nil)
	if len(text) > 0 {
		if records, good, err = frames(text); err != nil {
			return err
		}
	}
	if len(records) == 0 {
		b.Content = Content{Run: run}
		return b.rewrite()
	}
	for i, r := range records {
		if err := b.apply(r); err != nil {
			return fmt.Errorf("record %d: %w", i+1, err)
		}
	}
	if b.Run != run {
		return fmt.Errorf("the books belong to run %q, not %q", b.Run, run)
	}
	f, err := os.OpenFile(b.path, os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	b.f, b.size = f, good
	if good < int64(len(text)) {
		return errors.Join(f.Truncate(good), f.Sync())
	}
	return nil
}

// rewrite puts the content of the books as one record.
func (b *Books) rewrite() error {
	text, err := json.Marshal(record{Whole: &b.Content})
	if err != nil {
		return err
	}
	all := append([]byte(head), frame(text)...)
	if err := replace(b.path, all); err != nil {
		return err
	}
	f, err := os.OpenFile(b.path, os.O_WRONLY, 0o600)
	if err != nil { // the open file no longer has a name
		b.broken = err
		return err
	}
	if b.f != nil {
		err = b.f.Close()
	}
	b.f, b.size = f, int64(len(all))
	return err
}

// apply applies a record to the content.
func (b *Books) apply(text []byte) error {
	var r record
	if err := json.Unmarshal(text, &r); err != nil {
		return err
	}
	switch {
	case r.Whole != nil:
		b.Content = *r.Whole
	case r.Pending != nil:
		b.Unanswered, b.About = r.Pending.Message, &r.Pending.About
	case r.Answered != nil:
		b.Sequence, b.State = r.Answered.Sequence, r.Answered.State
		if x := r.Answered.Board; x != nil {
			b.Boards, b.Last = append(b.Boards, *x), x.Board
		}
		if b.About != nil && b.About.Result != nil {
			b.settled(*b.About.Result)
		}
		b.Unanswered, b.About = nil, nil
	case r.Results != nil:
		b.Boot, b.Taken = r.Results.Boot, r.Results.Taken
		b.Results = append(b.Results, r.Results.Results...)
	case r.Dropped != nil:
		b.settled(r.Dropped.Board)
	default:
		return fmt.Errorf("%w: a record of an unknown kind", ErrFormat)
	}
	return nil
}

func (b *Books) settled(of handover.Board) {
	b.Boards = slices.DeleteFunc(b.Boards, func(x Board) bool { return x.Board == of })
	b.Results = slices.DeleteFunc(b.Results, func(x Result) bool { return x.Board == of })
}

// ErrNotWritten says that something could not be written.
var ErrNotWritten = errors.New("the books cannot be written")

// write appends a record, syncs it to disk, and then applies it.
func (b *Books) write(r record) error {
	if b.broken != nil {
		return errors.Join(ErrNotWritten, b.broken)
	}
	began := time.Now()
	defer func() { b.Spent += time.Since(began) }()
	text, err := json.Marshal(r)
	if err != nil {
		return err
	}
	f := frame(text)
	if _, err = b.f.WriteAt(f, b.size); err == nil {
		err = b.f.Sync()
	}
	if err != nil {
		// What was written of it must not precede the next record.
		if cut := b.f.Truncate(b.size); cut != nil {
			b.broken = fmt.Errorf("the books can no longer be written: %w", cut)
		}
		return errors.Join(ErrNotWritten, err)
	}
	b.size += int64(len(f))
	if err := b.apply(text); err != nil {
		return err
	}
	if b.size > max(b.most, b.next) {
		// It is already written: long books are no reason to stop.
		if b.next = 0; b.rewrite() != nil {
			b.next = 2 * b.size
		}
	}
	return nil
}

// For sets the subject of the next message.
func (b *Books) For(m Message) { b.about = m }

// Pending writes a message before it is sent.
func (b *Books) Pending(m *ripwrightv1.RunLineRequest) error {
	text, err := proto.Marshal(m)
	if err != nil {
		return err
	}
	if b.Unanswered != nil && string(b.Unanswered) == string(text) {
		return nil // it is there already, and is asked again
	}
	return b.write(record{Pending: &pending{Message: text, About: b.about}})
}

// Answered writes an answer.
func (b *Books) Answered(m *ripwrightv1.RunLineRequest, a *ripwrightv1.RunLineResponse) error {
	r := &answered{Sequence: a.GetSequence(), State: a.GetState()}
	if b.About != nil && b.About.Board != nil && a.GetPlan() != nil {
		bare := proto.CloneOf(a)
		bare.State = nil
		text, err := proto.Marshal(bare)
		if err != nil {
			return err
		}
		r.Board = &Board{Board: *b.About.Board, Sequence: m.GetSequence(), ID: m.GetBoard().GetBoard().GetBoardId(), Answer: text}
	}
	return b.write(record{Answered: r})
}

// Message gives the unanswered message; nil: none.
func (b *Books) Message() (*ripwrightv1.RunLineRequest, error) {
	if b.Unanswered == nil {
		return nil, nil
	}
	m := &ripwrightv1.RunLineRequest{}
	return m, proto.Unmarshal(b.Unanswered, m)
}

// Take writes results from the PLC, and the number taken of its boot.
func (b *Books) Take(boot, taken uint32, results ...Result) error {
	return b.write(record{Results: &resultsTaken{boot, taken, results}})
}

// Drop ends the wait for a board whose result will never be sent to the service.
func (b *Books) Drop(x handover.Board) error { return b.write(record{Dropped: &Board{Board: x}}) }

// Board gives a board that waits for its result.
func (b *Books) Board(x handover.Board) *Board {
	for i := range b.Boards {
		if b.Boards[i].Board == x {
			return &b.Boards[i]
		}
	}
	return nil
}

// Close closes the books.
func (b *Books) Close() error { return errors.Join(b.f.Close(), b.lock.Unlock()) }
