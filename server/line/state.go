package line

import (
	"bytes"
	"encoding/json"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/run"
)

// layout is raised when states of an earlier release can no longer be read. 2: the schema
// of v0.1.0.
const layout = 2

// kept is what a client holds of a run, packed. A client that forges a state forges only
// the books of its own run.
type kept struct {
	Layout  int
	SetUp   []byte   // LineSetUp in force, the saw written out
	SawName string   `json:",omitempty"` // by which the saw was asked for
	Before  [][]byte `json:",omitempty"` // CutOrder of each order before the one in force, if orders wait or have waited
	Run     *run.Run
	Bays    *bays.Bays     `json:",omitempty"` // if the outfeed has them
	Course  *replan.Course `json:",omitempty"` // if values are planned
}

// state gives the run's state, and its unpacked length.
func (s *session) state() (state []byte, _ int, err error) {
	if s.head == nil {
		if s.head, err = headOf(s.setUp, s.line.SawName, s.before); err != nil {
			return nil, 0, err
		}
	}
	var k struct {
		Run    *run.Run
		Bays   *bays.Bays     `json:",omitempty"`
		Course *replan.Course `json:",omitempty"`
	}
	k.Run, k.Bays = s.run, s.bays
	if s.line.Planning != nil {
		k.Course = s.prices.course
	}
	text, err := json.Marshal(k)
	size := s.head.size + len(text) - len("{")
	if err != nil || size > wire.MaxState {
		return nil, size, err
	}
	state, err = s.head.with(text[len("{"):])
	return state, size, err
}

// headOf begins the states of a set-up: all of kept before the run.
func headOf(m *ripwrightv1.LineSetUp, sawName string, before []*wire.Line) (*head, error) {
	var orders [][]byte
	for _, l := range before {
		text, err := (proto.MarshalOptions{Deterministic: true}).Marshal(l.Order)
		if err != nil {
			return nil, err
		}
		orders = append(orders, text)
	}
	setUp, err := (proto.MarshalOptions{Deterministic: true}).Marshal(m)
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(struct {
		Layout  int
		SetUp   []byte
		SawName string   `json:",omitempty"`
		Before  [][]byte `json:",omitempty"`
	}{layout, setUp, sawName, orders})
	if err != nil {
		return nil, err
	}
	text[len(text)-1] = ','
	return begun(text)
}

// restore resumes a run from its state.
func (s *session) restore(state []byte) error {
	wrong := func(says string) error {
		return refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_UNREADABLE_STATE, fault.List{{Path: "resume.state", Says: says, Reason: fault.WrongTurn}})
	}
	text, whole := unpacked(state)
	if !whole {
		return wrong("is incomplete; send the state of the last answer unchanged")
	}
	// The layout comes first: a later release writes content that this one must not
	// ignore.
	var by struct{ Layout int }
	if json.Unmarshal(text, &by) != nil {
		return wrong("cannot be read; send the state of the last answer unchanged")
	}
	if by.Layout != layout {
		return refuse.Precondition(ripwrightv1.ErrorReason_ERROR_REASON_UNREADABLE_STATE, "resume.state",
			"is of another release; begin a new run with the made amounts of the last fills")
	}
	var k kept
	read := json.NewDecoder(bytes.NewReader(text))
	read.DisallowUnknownFields()
	if read.Decode(&k) != nil || read.More() || k.Run == nil {
		return wrong("cannot be read, or has content that this release does not know; continue on a replica of the release that wrote it")
	}
	var m ripwrightv1.LineSetUp
	if proto.Unmarshal(k.SetUp, &m) != nil {
		return wrong("cannot be read; send the state of the last answer unchanged")
	}
	if len(guard.Unknown(&m)) > 0 {
		return wrong("has content that this release does not know; continue on a replica of the release that wrote it")
	}
	l, err := wire.SetUp(&m, s.cfg.Saws, false)
	if err != nil || len(k.Run.Faults()) > 0 || k.Run.Order != l.OrderID || k.Run.InFlight != l.InFlight || !k.Run.Knows(l.Wanted) {
		return wrong("is inconsistent; send the state of the last answer unchanged")
	}
	before, ok := k.orders(&m, l, s.cfg.Saws)
	if !ok {
		return wrong("is inconsistent; send the state of the last answer unchanged")
	}
	if (l.Bays != nil) != (k.Bays != nil) || l.Bays != nil && len(k.Bays.Faults(l.Bays.Count)) > 0 {
		return wrong("is inconsistent; send the state of the last answer unchanged")
	}
	if l.Planning != nil && k.Course != nil {
		if len(k.Course.Faults()) > 0 {
			return wrong("is inconsistent; send the state of the last answer unchanged")
		}
		s.prices.course = k.Course
	}
	l.SawName = k.SawName
	k.Run.Learn(l.Wanted)
	s.run, s.bays, s.before, s.told = k.Run, k.Bays, before, nil
	s.adopt(&m, l)
	return nil
}

// orders reads the orders before the one in force, and reports whether the run has the
// books of these and of those that wait.
func (k *kept) orders(m *ripwrightv1.LineSetUp, l *wire.Line, saws wire.Saws) (before []*wire.Line, ok bool) {
	if len(k.Before) > maxBefore {
		return nil, false
	}
	seen := map[string]bool{l.OrderID: true}
	for _, next := range l.Next {
		seen[next.OrderID] = true
		if !k.Run.Knows(next.Wanted) {
			return nil, false
		}
	}
	for _, text := range k.Before {
		o := &ripwrightv1.CutOrder{}
		if proto.Unmarshal(text, o) != nil || len(guard.Unknown(o)) > 0 || seen[o.GetOrderId()] {
			return nil, false
		}
		seen[o.GetOrderId()] = true
		b, faults := wire.Following(m, o, saws)
		if len(faults) > 0 || !k.Run.Knows(b.Wanted) {
			return nil, false
		}
		before = append(before, b)
	}
	return before, true
}
