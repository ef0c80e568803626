package drift

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// The worked example of D. C. Montgomery, Introduction to Statistical Quality Control, on
// the tabular CUSUM (its data and sums second-hand, the mean from memory): target 10,
// K = 1/2, H = 5. The 29th value signals with C+ = 5.28 after 7 values, which puts the
// mean at 11.25.
func TestWorkedExample(t *testing.T) {
	var c Chart
	for i, x := range []float64{9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40, 10.08,
		9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31} {
		before := c
		if got := c.add(unit.Length(math.Round((x-10)*1e6)), rule{unit: mm, decision: 5 * mm, most: 100 * mm}); got != (i == 28) {
			t.Fatalf("value %d: %t, sums %g and %g", i+1, got, c.High.MM(), c.Low.MM())
		}
		if i == 28 && (before.HighFor != 6 || math.Abs(before.High.MM()+1.31-0.5-5.28) > 1e-9 || math.Abs(10+c.By.MM()-11.25) > 0.005 || c.Way != Wide) {
			t.Errorf("%+v, then %+v", before, c)
		}
	}
}

// The example of the NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.3,
// from memory: target 325, k = 0.3175, h = 4.1959. The upper sum is 3.0075 at the 13th
// value and 4.94 at the 14th, which signals.
func TestHandbookExample(t *testing.T) {
	var c Chart
	r := rule{unit: 635 * unit.Micrometre, decision: 4_195_900, most: 100 * mm}
	for i, x := range []float64{324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625, 325.150, 328.325, 327.250} {
		got := c.add(unit.Length(math.Round((x-325)*1e6)), r)
		if got != (i == 13) || i == 12 && c.High.MM() != 3.0075 || got && c.By != 317_500+4_940_000/2 {
			t.Fatalf("value %d: %t, %+v", i+1, got, c)
		}
	}
}

// blades draws a gauge's readings of strips between blades that are slightly off.
type blades struct {
	rng     *rand.Rand
	off     []unit.Length // by blade
	scatter float64       // of a width, in mm
}

func (b *blades) strip(near int) Strip {
	const planned = 60 * mm
	far := near + 1
	return Strip{Near: near, Far: far, Planned: planned,
		Measured: planned + b.off[far] - b.off[near] + unit.Length(math.Round(b.rng.NormFloat64()*b.scatter*1e6))}
}

// A blade that moves is reported once by each of its pockets, and named once both have
// changed; so is its return.
func TestBladeMovesAndIsPutBack(t *testing.T) {
	b := &blades{rng: rand.New(rand.NewPCG(5, 6)), off: make([]unit.Length, 6), scatter: 0.1}
	w := &Watch{Settings: Settings{Shift: UsualShift}}
	var turns []Turn
	cut := func(boards int) {
		for range boards {
			for near := range 5 {
				if u, ok := w.Add(b.strip(near)); ok {
					turns = append(turns, u)
				}
			}
		}
	}
	cut(2000)
	if len(turns) > 0 {
		t.Fatalf("%+v, and nothing moved", turns)
	}
	b.off[2] = 500 * unit.Micrometre
	cut(2000)
	if len(turns) != 2 || len(w.Adrift()) != 2 {
		t.Fatalf("%+v", turns)
	}
	for _, u := range turns {
		if u.Blade != 2 || math.Abs(math.Abs(u.By.MM())-0.5) > 0.1 || (u.Way == Wide) != (u.Far == 2) || u.Strips > 20 {
			t.Errorf("%+v", u)
		}
	}
	b.off[2] = 0
	cut(2000)
	if len(turns) != 4 || len(w.Adrift()) != 0 || turns[2].Way != None || turns[3].Way != None {
		t.Errorf("%+v", turns)
	}
	// A blade at the end has one pocket, so it is not named.
	b.off[5] = -mm
	cut(100)
	if last := turns[len(turns)-1]; len(turns) != 5 || last.Blade != Edge || last.Way != Narrow || last.Near != 4 {
		t.Errorf("%+v", turns)
	}
	if w.Anew("tuesday"); len(w.Adrift()) != 0 || w.Unit() == 0 {
		t.Errorf("%+v", w)
	}
}

// Shifts below the smallest one are not reported as long as they stay below half of it;
// one false reading is not reported; and if no scatter is given, it is that of the strips
// if they scatter by more than the smallest shift.
func TestWhatIsNotTold(t *testing.T) {
	b := &blades{rng: rand.New(rand.NewPCG(7, 8)), off: []unit.Length{0, 60 * unit.Micrometre}, scatter: 0.05}
	w := &Watch{Settings: Settings{Shift: UsualShift}}
	for n := range 20_000 {
		s := b.strip(0)
		if n%500 == 499 {
			s.Measured = 6 * mm // a misplaced decimal point
		}
		if u, ok := w.Add(s); ok {
			t.Fatalf("strip %d: %+v", n, u)
		}
	}
	b.scatter, b.off[1] = 0.6, 0
	w = &Watch{Settings: Settings{Shift: UsualShift}}
	for range Ranges + 1 {
		w.Add(b.strip(0))
	}
	// The mean of that many ranges has a standard error of about 9 %.
	if u := w.Unit().MM(); math.Abs(u-0.6) > 3*0.09*0.6 {
		t.Errorf("scatter is estimated as %g mm, it is 0.6 mm", u)
	}
	if u := (&Watch{Settings: Settings{Shift: UsualShift, Scatter: mm}}).Unit(); u != mm {
		t.Errorf("unit %g mm", u.MM())
	}
}

// With an estimated scatter above the smallest shift, false alarms are at most ten times
// as frequent as with a known one.
func TestFalseAlarmsWithAnEstimatedScatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	strips, alarms := 0, 0
	for seed := range 100 {
		b := &blades{rng: rand.New(rand.NewPCG(uint64(seed), rng.Uint64())), off: make([]unit.Length, 2), scatter: 1}
		w := &Watch{Settings: Settings{Shift: UsualShift}}
		for range 30_000 {
			strips++
			if u, ok := w.Add(b.strip(0)); ok && u.Way != None {
				alarms++
			}
		}
	}
	t.Logf("%d false alarms in %d strips", alarms, strips)
	if alarms == 0 || strips/alarms < 7_000 {
		t.Errorf("%d false alarms in %d strips", alarms, strips)
	}
}

// A watch that is written and read back continues unchanged, and tampering is found.
func TestWrittenDown(t *testing.T) {
	b := &blades{rng: rand.New(rand.NewPCG(1, 2)), off: make([]unit.Length, 4), scatter: 0.2}
	w := &Watch{Settings: Settings{Shift: UsualShift}, Changed: "monday"}
	for range 60 {
		for near := range 3 {
			w.Add(b.strip(near))
		}
	}
	w.Add(Strip{Near: Edge, Far: 1, Planned: mm, Measured: mm})
	text, err := json.Marshal(w)
	if err != nil {
		t.Fatal(err)
	}
	var back Watch
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(*w, back) || len(back.Faults()) > 0 {
		t.Fatalf("%v, %v: %s", err, back.Faults(), text)
	}
	for what, change := range map[string]func(*Watch){
		"order":       func(w *Watch) { w.Charts[0], w.Charts[1] = w.Charts[1], w.Charts[0] },
		"twice":       func(w *Watch) { w.Charts[1] = w.Charts[0] },
		"a blade":     func(w *Watch) { w.Charts[0].Far = 32 },
		"a sum":       func(w *Watch) { w.Charts[0].High = -1 },
		"a large sum": func(w *Watch) { w.Charts[0].High = math.MaxInt64 },
		"a way":       func(w *Watch) { w.Charts[0].Way = 2 },
		"ranges":      func(w *Watch) { w.Over = Ranges + 1 },
		"a last one":  func(w *Watch) { w.Charts[0].Last = math.MinInt64 },
	} {
		var bad Watch
		if err := json.Unmarshal(text, &bad); err != nil {
			t.Fatal(err)
		}
		if change(&bad); len(bad.Faults()) == 0 {
			t.Errorf("%s is not found", what)
		}
	}
}
