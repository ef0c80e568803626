package lumber_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/lumber"
)

func knotty() lumber.Spread {
	s := spread
	s.Defects = []lumber.DefectRate{
		{Kind: "knot", PerArea: 6, LeastLength: 10 * mm, MostLength: 30 * mm, LeastWidth: 8 * mm, MostWidth: 20 * mm},
		{Kind: "split", PerArea: 1, LeastLength: 100 * mm, MostLength: 300 * mm, LeastWidth: 2 * mm, MostWidth: 2 * mm},
	}
	return s
}

// Defects follow the rates of a Poisson process: the variance of their number on boards
// of one size is its mean. Their sizes are as specified, and the boards are otherwise as
// they would be without defects: within five standard errors.
func TestDefectRates(t *testing.T) {
	s := knotty()
	s.Deviation, s.Crook, s.Taper, s.Lengths = 0, 0, 0, s.Lengths[:1]
	lot := lumber.Lot{From: s}
	knots, squares, long, splits := 0.0, 0.0, 0.0, 0.0
	for _, k := range lot.Sample(lumber.MaxSample, 3) {
		if l := k.Board.Faults(); len(l) > 0 {
			t.Fatal(l)
		}
		mine := 0.0
		for _, d := range k.Board.Defects {
			if d.Kind != "knot" {
				splits++
				continue
			}
			mine++
			l, w := (d.ToX - d.FromX).MM(), (d.ToY - d.FromY).MM()
			long += l
			if l > 30 || w > 20.001 || w < 7.99 {
				t.Errorf("a knot of %v x %v mm", l, w)
			}
		}
		knots += mine
		squares += mine * mine
	}
	boards := float64(lumber.MaxSample)
	face := s.Mean.MM() / 1000 * 2 // m2
	want := 6 * face
	mean := knots / boards
	variance := squares/boards - mean*mean
	if e := 5 * math.Sqrt(want/boards); math.Abs(mean-want) > e {
		t.Errorf("%v knots a board, want %v within %v", mean, want, e)
	}
	if e := 5 * math.Sqrt((want+2*want*want)/boards); math.Abs(variance-want) > e {
		t.Errorf("a variance of %v, want %v within %v", variance, want, e)
	}
	if e := 5 * math.Sqrt(face/boards); math.Abs(splits/boards-face) > e {
		t.Errorf("%v splits a board, want %v within %v", splits/boards, face, e)
	}
	if l := long / knots; math.Abs(l-20) > 0.5 {
		t.Errorf("knots are %v mm long on average, want 20", l)
	}
}

func TestDefectRateFaults(t *testing.T) {
	for path, spoil := range map[string]func(d *lumber.DefectRate){
		"kind":          func(d *lumber.DefectRate) { d.Kind = "" },
		"per_m2":        func(d *lumber.DefectRate) { d.PerArea = math.NaN() },
		"min_length_mm": func(d *lumber.DefectRate) { d.LeastLength = 0 },
		"max_length_mm": func(d *lumber.DefectRate) { d.MostLength = 5 * mm },
		"min_width_mm":  func(d *lumber.DefectRate) { d.LeastWidth = -1 },
		"max_width_mm":  func(d *lumber.DefectRate) { d.MostWidth = lumber.MaxWidth + 1 },
	} {
		s := knotty()
		spoil(&s.Defects[0])
		if l := s.Faults(); len(l) != 1 || l[0].Path != "spread.defects[0]."+path {
			t.Errorf("%s: %v", path, l)
		}
	}
	s := knotty()
	if l := s.Faults(); len(l) != 0 {
		t.Error(l)
	}
	s.Defects[0].PerArea = 60 // on 0.18 x 3 m
	if l := s.Faults(); len(l) != 1 || l[0].Path != "spread.defects" {
		t.Error(l)
	}
	s.Defects = make([]lumber.DefectRate, lumber.MaxRates+1)
	if l := s.Faults(); len(l) != 1 || l[0].Path != "spread.defects" {
		t.Error(l)
	}
}
