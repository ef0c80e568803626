// Package handover is the state machine that turns a board's words into a plan's.
//
// It has no network, no clock and no service: it receives what the PLC shows and what the
// service answered, and returns what to do next. The PLC holds a board's words until its
// plan, a refusal or a time-out of its own. The bridge reads the number again before it
// writes the plan's, so that no plan stands beside another board's number; and the PLC
// refuses a number that is not its present one, since a read is not a lock.
//
//	idle --number--> asking --answer--> answered --number is still the same--> told --another number--> idle
//	                    \                   \
//	                     another number: what comes of it is not cut
package handover

import (
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// Seen is what the PLC shows at one look.
type Seen struct {
	Boot, Scan, Accepted, Refused, Reason, Results uint32
}

// Board identifies a board of a PLC: numbers restart with each boot.
type Board struct{ Boot, Number uint32 }

// Answer is the service's result for a board: a plan, or a reason why there is none.
type Answer struct {
	Reason contract.Reason // 0: there is a plan
}

// Kind of an action.
type Kind int

// The kinds.
const (
	Fetch     Kind = iota // read the board's words and request its plan
	Hand                  // write its plan, look again, and write its number
	Decline               // write why it has none
	Leave                 // it left before its plan came: it is not cut by the plan
	Taken                 // the PLC has accepted the plan
	Turned                // the PLC has refused it, with a reason
	Collect               // read results and put them in the books
	Restarted             // the PLC has restarted: the outcome of earlier plans is open
	Missed                // a number of results were overwritten before they were read
)

// Act is something to do.
type Act struct {
	Kind   Kind
	Board  Board
	Reason uint32 // of Decline and Turned
	From   uint32 // of Collect: the count before the first result
	N      uint32 // of Collect and Missed: the number of results
}

// State of the current board.
type State int

// The states.
const (
	Idle State = iota
	Asking
	Answered
	Told
)

func (s State) String() string { return [...]string{"idle", "asking", "answered", "told"}[s] }

// Machine is the hand-over of one PLC. Its zero value has seen nothing.
type Machine struct {
	Slots uint32 // of the ring of results
	Keeps bool   // the ring and its count survive a boot

	state  State
	board  Board
	answer Answer
	heard  bool // the PLC's response to the plan
	tried  bool // the plan's number may have been written
	known  bool // a boot has been seen
	boot   uint32
	taken  uint32
}

// Resume restores the state from the books: how many results of a boot were taken.
func (m *Machine) Resume(boot, taken uint32) { m.known, m.boot, m.taken = true, boot, taken }

// State gives the state and the current board.
func (m *Machine) State() (State, Board) { return m.state, m.board }

// Look gives what to do, in order, when the PLC shows s.
func (m *Machine) Look(s Seen) (acts []Act) {
	if !m.known || s.Boot != m.boot {
		if m.known {
			acts = append(acts, Act{Kind: Restarted, Board: Board{Boot: m.boot}})
		}
		switch {
		case !m.known: // what remains in the ring may be of boards in the books
			m.taken = s.Results - min(s.Results, m.Slots)
		case !m.Keeps:
			m.taken = 0
		}
		m.known, m.boot = true, s.Boot
	}
	now := Board{s.Boot, s.Scan}
	if m.state != Idle && now != m.board {
		acts = append(acts, m.leave()...)
	}
	if m.state == Idle && s.Scan != 0 {
		m.state, m.board, m.answer, m.heard = Asking, now, Answer{}, false
		acts = append(acts, Act{Kind: Fetch, Board: now})
	}
	switch m.state {
	case Idle, Asking:
	case Answered:
		m.state = Told
		if m.answer.Reason != 0 {
			acts = append(acts, Act{Kind: Decline, Board: m.board, Reason: uint32(m.answer.Reason)})
			break
		}
		acts = append(acts, Act{Kind: Hand, Board: m.board})
	case Told:
		if m.heard || m.answer.Reason != 0 {
			break
		}
		switch m.board.Number {
		case s.Accepted:
			m.heard = true
			acts = append(acts, Act{Kind: Taken, Board: m.board})
		case s.Refused:
			m.heard = true
			acts = append(acts, Act{Kind: Turned, Board: m.board, Reason: s.Reason})
		}
	}
	return append(acts, m.results(s)...)
}

// leave is what to do when the current board leaves.
func (m *Machine) leave() []Act {
	was, board, tried := m.state, m.board, m.tried
	m.state, m.board, m.tried = Idle, Board{}, false
	if was == Told || tried {
		return nil
	}
	return []Act{{Kind: Leave, Board: board}}
}

func (m *Machine) results(s Seen) (acts []Act) {
	n := s.Results - m.taken // which may have wrapped
	if n == 0 {
		return nil
	}
	if n > m.Slots {
		acts = append(acts, Act{Kind: Missed, Board: Board{Boot: s.Boot}, N: n - m.Slots})
		m.taken, n = s.Results-m.Slots, m.Slots
	}
	acts = append(acts, Act{Kind: Collect, Board: Board{Boot: s.Boot}, From: m.taken, N: n})
	m.taken = s.Results
	return acts
}

// Answer reports the result for a board. It is of no use if another board is current by
// now.
func (m *Machine) Answer(b Board, a Answer) (ofUse bool) {
	if m.state != Asking || m.board != b {
		return false
	}
	m.state, m.answer = Answered, a
	return true
}

// Tried reports that the plan's number is about to be written: from now on the board is
// not taken as left without a plan, since the PLC may have the number even after an
// error.
func (m *Machine) Tried(b Board) { m.tried = m.tried || m.board == b }

// Again hands the current board over once more: its plan could not be written.
func (m *Machine) Again(b Board) {
	if m.state == Told && m.board == b {
		m.state = Answered
	}
}

// Unread fetches the current board once more: its words could not be read.
func (m *Machine) Unread(b Board) {
	if m.state == Asking && m.board == b {
		m.state, m.board = Idle, Board{}
	}
}

// Uncollected collects results once more that could not be read.
func (m *Machine) Uncollected(a Act) {
	if m.Keeps || m.boot == a.Board.Boot {
		m.taken = a.From
	}
}

// Instead gives the current board another answer, since its plan cannot be written.
func (m *Machine) Instead(b Board, a Answer) {
	if m.state == Told && m.board == b {
		m.state, m.answer = Answered, a
	}
}
