package replan

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

func square(length, width unit.Length) wood.Board {
	return wood.Board{Length: length * mm, Stations: []wood.Station{{Far: width * mm}}}
}

// The n-th board seen is n mm longer than a metre, so that boards can be told apart.
func numbered(n int) wood.Board { return square(1000+unit.Length(n), 200) }

// Expected boards are replaced one by one, and after that each board of the last Memory
// is in the sample with the same frequency.
func TestSampleIsFair(t *testing.T) {
	var s Sample
	s.Expect(make([]wood.Board, MaxBoards+1))
	if s.Expected != MaxBoards || len(s.Boards) != MaxBoards {
		t.Fatalf("%d of %d expected", s.Expected, len(s.Boards))
	}
	for n := range MaxBoards {
		b := numbered(n)
		s.Add(&b)
		if s.Expected != MaxBoards-n-1 || len(s.Boards) != MaxBoards {
			t.Fatalf("after %d: %d of %d expected", n+1, s.Expected, len(s.Boards))
		}
	}
	// Age of the boards in the sample: uniform up to Memory until that many were seen,
	// then Memory on average, since a board stays with probability 1 - 1/Memory.
	age, looks := 0.0, 0
	for n := MaxBoards; n < 40*Memory; n++ {
		b := numbered(n)
		s.Add(&b)
		if n == Memory-1 || n > 4*Memory {
			sum := 0.0
			for i := range s.Boards {
				sum += float64(n) - (s.Boards[i].Length.MM() - 1000)
			}
			mean := sum / MaxBoards
			if n == Memory-1 && math.Abs(mean-Memory/2) > Memory/8 {
				t.Errorf("after %d boards they are %g old on average", n+1, mean)
			}
			if n > 4*Memory {
				age += mean
				looks++
			}
		}
	}
	if mean := age / float64(looks); math.Abs(mean-Memory) > Memory/8 {
		t.Errorf("in the long run boards are %g old, want about %d", mean, Memory)
	}
}

// A sample is read back from its text unchanged, and a text that was cut short, extended
// or exceeds a limit is refused.
func TestPacked(t *testing.T) {
	s := Sample{Seen: 1 << 40}
	from := lumber.Spread{Mean: 190 * mm, Deviation: 45 * mm, Least: 90 * mm, Greatest: 320 * mm, Crook: 5 * mm, Taper: 8 * mm,
		Thickness: 27 * mm, Lengths: []lumber.LengthShare{{Length: 1800 * mm, Share: 1}}}
	for r := lumber.Random(3, 0); len(s.Boards) < MaxBoards; {
		s.Expect([]wood.Board{from.Draw(r)})
	}
	s.Boards[1].Defects = []wood.Defect{{FromX: mm, ToX: 2 * mm, FromY: -mm, ToY: mm, Kind: "ßüß"}}
	s.Boards[2] = square(20_000, 200)
	s.Boards[2].StraightNear = true
	text, err := json.Marshal(&s)
	if err != nil {
		t.Fatal(err)
	}
	var back Sample
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(s, back) || len(back.Faults()) > 0 {
		t.Errorf("%v: %v came back, %v", err, back.Boards[1], back.Faults())
	}
	raw := s.pack()
	for n := range raw {
		if back.unpack(raw[:n]) == nil {
			t.Fatalf("%d of %d bytes are taken", n, len(raw))
		}
	}
	if back.unpack(append(raw, 0)) == nil {
		t.Error("a byte too many is taken")
	}
	many := Sample{Boards: make([]wood.Board, MaxBoards+1)}
	if back.unpack(many.pack()) == nil {
		t.Error("a board too many is taken")
	}
}

// The largest possible sample stays far below the limit of a line's state.
func TestPackedIsSmall(t *testing.T) {
	var s Sample
	b := wood.Board{Length: wood.MaxLength, Thickness: wood.MaxAcross}
	for i := range 2000 {
		b.Stations = append(b.Stations, wood.Station{X: unit.Length(i) * 10 * mm, Near: -wood.MaxAcross * unit.Length(i%2), Far: wood.MaxAcross})
	}
	for range 1000 {
		b.Defects = append(b.Defects, wood.Defect{FromX: wood.MaxLength - 1, ToX: wood.MaxLength, FromY: -wood.MaxAcross, ToY: wood.MaxAcross,
			Kind: strings.Repeat("\U0001F332", wood.MaxKind)})
	}
	for range MaxBoards {
		s.Add(&b)
	}
	text, err := json.Marshal(&s)
	if err != nil || len(text) > 700<<10 {
		t.Errorf("%d bytes, %v", len(text), err)
	}
	if l := s.Faults(); len(l) > 0 {
		t.Error(l)
	}
}

func TestThin(t *testing.T) {
	b := wood.Board{Length: 5000 * mm}
	for i := range 101 {
		b.Stations = append(b.Stations, wood.Station{X: unit.Length(i) * 50 * mm, Far: unit.Length(200+i) * mm})
		b.Defects = append(b.Defects, wood.Defect{FromX: 0, ToX: unit.Length(i+1) * mm, FromY: 0, ToY: mm, Kind: "knot"})
	}
	got := Thin(&b)
	if n := len(got.Stations); n != MaxStations || got.Stations[0] != b.Stations[0] || got.Stations[n-1] != b.Stations[100] {
		t.Errorf("stations %v", got.Stations)
	}
	if len(got.Defects) != MaxDefects || got.Defects[0].ToX != 101*mm || got.Defects[MaxDefects-1].ToX != (101-MaxDefects+1)*mm {
		t.Errorf("defects %v", got.Defects)
	}
	if len(b.Stations) != 101 || b.Defects[0].ToX != mm {
		t.Error("the board itself was changed")
	}
	// Wood at a single station between those that would be kept.
	for i := range b.Stations {
		b.Stations[i].Far = 0
	}
	b.Stations[3].Far, b.Defects = 80*mm, nil
	if got := Thin(&b); len(got.Faults()) > 0 {
		t.Errorf("%v: %v", got, got.Faults())
	}
}
