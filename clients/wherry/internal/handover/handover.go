// Package handover is the state machine by which a board's words become a plan's.
//
// It knows nothing of a network, a clock or the service: it is told what the PLC shows and
// what the service answered, and says what is to be done next. The PLC holds a board's
// words until its plan, a refusal or a time-out of its own; the bridge looks at the number
// again before it writes the plan's, so that no plan stands beside another board's number,
// and the PLC refuses a number that is not its present one, since a look is not a lock.
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

// Board names a board of a PLC: numbers begin anew with each boot.
type Board struct{ Boot, Number uint32 }

// Answer is what the service made of a board: a plan, or a reason why there is none.
type Answer struct {
	Reason contract.Reason // 0: there is a plan
}

// Kind of what is to be done.
type Kind int

// The kinds.
const (
	Fetch   Kind = iota // read the board's words and ask for its plan
	Hand                // write its plan, look again, and write its number
	Decline             // write why it has none
	Leave               // it went away before its plan stood: it is not cut by it
	Taken               // the PLC has accepted the plan
	Turned              // the PLC has refused it, for a reason
	Collect             // read results and put them in the books
	Anew                // the PLC has restarted: what was handed out before is open
	Missed              // so many results were overwritten before they were read
)

// Act is something to be done.
type Act struct {
	Kind   Kind
	Board  Board
	Reason uint32 // of Decline and Turned
	From   uint32 // of Collect: the count before the first result
	N      uint32 // of Collect and Missed: how many
}

// State of the board at hand.
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
	Keeps bool   // the ring and its count outlast a boot

	state  State
	board  Board
	answer Answer
	heard  bool // the PLC's word on the plan
	tried  bool // the plan's number may stand there
	known  bool // that a boot was seen
	boot   uint32
	taken  uint32
}

// Resume tells what the books say: how many results of a boot were taken.
func (m *Machine) Resume(boot, taken uint32) { m.known, m.boot, m.taken = true, boot, taken }

// State gives the state, and the board at hand.
func (m *Machine) State() (State, Board) { return m.state, m.board }

// Look gives what is to be done now that the PLC shows this, in order.
func (m *Machine) Look(s Seen) (acts []Act) {
	if !m.known || s.Boot != m.boot {
		if m.known {
			acts = append(acts, Act{Kind: Anew, Board: Board{Boot: m.boot}})
		}
		switch {
		case !m.known: // what the ring still has may be of boards that the books have
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

// leave is what there is to do as the board at hand goes away.
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

// Answer tells what came of a board that was asked for. It is of no use where another
// board is at hand by now.
func (m *Machine) Answer(b Board, a Answer) (ofUse bool) {
	if m.state != Asking || m.board != b {
		return false
	}
	m.state, m.answer = Answered, a
	return true
}

// Tried tells that the plan's number is about to be written: from now on the board is not
// taken as left, since an error does not mean that the PLC has not got it.
func (m *Machine) Tried(b Board) { m.tried = m.tried || m.board == b }

// Again has the board at hand handed over once more: its plan could not be written.
func (m *Machine) Again(b Board) {
	if m.state == Told && m.board == b {
		m.state = Answered
	}
}

// Unread has the board at hand fetched once more: its words could not be read.
func (m *Machine) Unread(b Board) {
	if m.state == Asking && m.board == b {
		m.state, m.board = Idle, Board{}
	}
}

// Uncollected has results collected once more that could not be read.
func (m *Machine) Uncollected(a Act) {
	if m.Keeps || m.boot == a.Board.Boot {
		m.taken = a.From
	}
}

// Instead has the board at hand answered otherwise, whose plan cannot be written.
func (m *Machine) Instead(b Board, a Answer) {
	if m.state == Told && m.board == b {
		m.state, m.answer = Answered, a
	}
}
