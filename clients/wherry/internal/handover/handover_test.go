package handover

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

func text(acts []Act) string {
	var l []string
	for _, a := range acts {
		name := [...]string{"fetch", "hand", "decline", "leave", "taken", "turned", "collect", "restarted", "missed"}[a.Kind]
		switch a.Kind {
		case Collect:
			l = append(l, fmt.Sprintf("%s %d after %d", name, a.N, a.From))
		case Missed:
			l = append(l, fmt.Sprintf("%s %d", name, a.N))
		case Restarted:
			l = append(l, fmt.Sprintf("%s after boot %d", name, a.Board.Boot))
		case Decline, Turned:
			l = append(l, fmt.Sprintf("%s %d by %d", name, a.Board.Number, a.Reason))
		default:
			l = append(l, fmt.Sprintf("%s %d", name, a.Board.Number))
		}
	}
	return strings.Join(l, ", ")
}

// The hand-over, step by step, as in the guide's drawing.
func TestWalk(t *testing.T) {
	type step struct {
		see    Seen
		answer *Answer // of the current board, after the look
		want   string
		state  State
	}
	plan, busy := &Answer{}, &Answer{contract.Busy}
	const last = ^uint32(0)
	for name, steps := range map[string][]step{
		"a board": {
			{Seen{Boot: 1}, nil, "", Idle},
			{Seen{Boot: 1, Scan: 7}, nil, "fetch 7", Asking},
			{Seen{Boot: 1, Scan: 7}, plan, "", Answered},
			{Seen{Boot: 1, Scan: 7}, nil, "hand 7", Told},
			{Seen{Boot: 1, Scan: 7}, nil, "", Told},
			{Seen{Boot: 1, Scan: 7, Accepted: 7}, nil, "taken 7", Told},
			{Seen{Boot: 1, Scan: 7, Accepted: 7}, nil, "", Told},
			{Seen{Boot: 1, Accepted: 7}, nil, "", Idle},
			{Seen{Boot: 1, Accepted: 7, Results: 1}, nil, "collect 1 after 0", Idle},
			{Seen{Boot: 1, Scan: 8, Accepted: 7, Results: 1}, nil, "fetch 8", Asking},
		},
		"no plan": {
			{Seen{Boot: 1, Scan: 7}, busy, "fetch 7", Answered},
			{Seen{Boot: 1, Scan: 7, Accepted: 6}, nil, "decline 7 by 6", Told},
			{Seen{Boot: 1, Scan: 7, Accepted: 7}, nil, "", Told},
			{Seen{Boot: 1, Scan: 9}, nil, "fetch 9", Asking},
		},
		"gone before its answer": {
			{Seen{Boot: 1, Scan: 7}, nil, "fetch 7", Asking},
			{Seen{Boot: 1, Scan: 8}, nil, "leave 7, fetch 8", Asking},
		},
		"gone before its plan stood": {
			{Seen{Boot: 1, Scan: 7}, plan, "fetch 7", Answered},
			{Seen{Boot: 1}, nil, "leave 7", Idle},
		},
		"refused by the PLC": {
			{Seen{Boot: 1, Scan: 7}, plan, "fetch 7", Answered},
			{Seen{Boot: 1, Scan: 7}, nil, "hand 7", Told},
			{Seen{Boot: 1, Scan: 7, Refused: 7, Reason: 4}, nil, "turned 7 by 4", Told},
			{Seen{Boot: 1, Scan: 7, Refused: 7, Reason: 4}, nil, "", Told},
		},
		"restarted with the same number": {
			{Seen{Boot: 1, Scan: 7}, plan, "fetch 7", Answered},
			{Seen{Boot: 1, Scan: 7, Results: 3}, nil, "hand 7, collect 3 after 0", Told},
			{Seen{Boot: 2, Scan: 7}, nil, "restarted after boot 1, fetch 7", Asking},
			{Seen{Boot: 2, Scan: 7, Results: 1}, nil, "collect 1 after 0", Asking},
		},
		"numbers that wrap": {
			{Seen{Boot: 1, Scan: last, Results: 4}, plan, "fetch 4294967295, collect 4 after 0", Answered},
			{Seen{Boot: 1, Scan: last, Results: 4}, nil, "hand 4294967295", Told},
			{Seen{Boot: 1, Scan: 1, Results: 4}, nil, "fetch 1", Asking},
		},
		"an outage longer than the ring": {
			{Seen{Boot: 1, Results: 2}, nil, "collect 2 after 0", Idle},
			{Seen{Boot: 1, Results: 24}, nil, "missed 6, collect 16 after 8", Idle},
		},
	} {
		m := Machine{Slots: 16}
		for i, s := range steps {
			if got := text(m.Look(s.see)); got != s.want {
				t.Errorf("%s, step %d: %q, want %q", name, i+1, got, s.want)
			}
			if s.answer != nil {
				_, b := m.State()
				m.Answer(b, *s.answer)
			}
			if state, _ := m.State(); state != s.state {
				t.Errorf("%s, step %d: %v, want %v", name, i+1, state, s.state)
			}
		}
	}
	fresh := Machine{Slots: 16}
	if got := text(fresh.Look(Seen{Boot: 4, Results: 5023})); got != "collect 16 after 5007" {
		t.Errorf("books without a result: %s", got)
	}
	kept := Machine{Slots: 16, Keeps: true}
	kept.Resume(3, 20)
	if got := text(kept.Look(Seen{Boot: 4, Results: 23})); got != "restarted after boot 3, collect 3 after 20" {
		t.Errorf("a ring that outlasts a boot: %s", got)
	}
	m := Machine{Slots: 16}
	m.Resume(3, last-1)
	if got := text(m.Look(Seen{Boot: 3, Results: 1})); got != "collect 3 after 4294967294" {
		t.Errorf("a count that wraps: %s", got)
	}
}

// Whatever a PLC does and whenever answers come: a plan is handed only to the board whose
// number is shown, once each time that it is shown, and never after another number was
// seen; and every result is collected once, in order, or reported as missed.
func TestAnyPLC(t *testing.T) {
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 24))
		m := Machine{Slots: 16}
		s := Seen{Boot: rng.Uint32()}
		m.Look(s)
		asked := map[Board]bool{}
		handed := map[Board]bool{}
		collected, written := uint32(0), uint32(0)
		for range 200 {
			switch rng.IntN(8) {
			case 0, 1:
				s.Scan = max(s.Scan+1, 1)
			case 2:
				s.Scan = 0
			case 3:
				n := uint32(rng.IntN(6))
				if rng.IntN(10) == 0 {
					n += 16
				}
				s.Results += n
				written += n
			case 4:
				s.Accepted = s.Scan
			case 5:
				if rng.IntN(10) == 0 {
					s = Seen{Boot: s.Boot + 1, Scan: uint32(rng.IntN(3))}
					collected, written = 0, 0
				}
			case 6:
				if state, b := m.State(); state == Asking {
					m.Answer(b, Answer{contract.Reason(rng.IntN(3))})
				}
				for b := range asked { // an answer for an earlier board
					if _, at := m.State(); at != b && m.Answer(b, Answer{}) {
						t.Fatalf("seed %d: the answer for %v is used for %v", seed, b, at)
					}
				}
			}
			for _, a := range m.Look(s) {
				now := Board{s.Boot, s.Scan}
				switch a.Kind {
				case Fetch:
					if a.Board != now {
						t.Fatalf("seed %d: %v is fetched while the PLC shows %v", seed, a.Board, now)
					}
					asked[a.Board] = true
				case Hand, Decline:
					if a.Board != now || handed[a.Board] && a.Kind == Hand && s.Scan != 0 && !asked[a.Board] {
						t.Fatalf("seed %d: %v is handed over while the PLC shows %v", seed, a.Board, now)
					}
					handed[a.Board] = true
				case Missed:
					collected += a.N
				case Collect:
					if a.From != collected || a.N > 16 {
						t.Fatalf("seed %d: %+v after %d", seed, a, collected)
					}
					collected += a.N
				}
			}
			if collected != written {
				t.Fatalf("seed %d: %d of %d results collected", seed, collected, written)
			}
		}
	}
}
