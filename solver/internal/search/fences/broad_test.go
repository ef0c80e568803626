package fences_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

type draw struct {
	arbor  string
	travel string // wide, 150, 60
	values string // hand, area, planned
	rng    string // none, less, equal, more
	caps   string // none two each end
}

func mmOf(v float64) unit.Length { l, _ := unit.FromMM(v); return l }

func drawn(r *rand.Rand, d draw) *rip.Problem {
	p := &rip.Problem{}
	b := &p.Board
	b.Length = mmOf(2000 + 2500*r.Float64())
	width := 90 + 290*r.Float64()
	edge := 2 + 10*r.Float64()
	n := 80
	crook := 8 * r.Float64() * float64(r.IntN(2))
	nw, fw := 0.0, 0.0
	for i := range n {
		x := float64(b.Length) / 1e6 * float64(i) / float64(n-1)
		u := float64(i)/float64(n-1)*2 - 1
		nw, fw = 0.8*nw+0.2*edge*r.Float64(), 0.8*fw+0.2*edge*r.Float64()
		c := crook * (1 - u*u)
		b.Stations = append(b.Stations, wood.Station{X: min(mmOf(x), b.Length), Near: mmOf(nw + c), Far: mmOf(width + c - fw)})
	}
	s := &p.Saw
	s.Kerf, s.Step, s.Gap, s.LeastStrip, s.Trim = mmOf(4), mmOf(0.1), mmOf(25), mmOf(20), mmOf(2)
	s.Fence = saw.Travel{Min: mmOf(0), Max: mmOf(250), Current: mmOf(float64(r.IntN(2501)) / 10)}
	at := 60 + 100*r.Float64()
	for j, c := range d.arbor {
		a := float64(int(at*10)) / 10
		if c == 'F' {
			s.Blades = append(s.Blades, saw.Blade{At: mmOf(a)})
		} else {
			half := 1000.0
			switch d.travel {
			case "150":
				half = 150
			case "60":
				half = 60
			}
			t := saw.Travel{Min: mmOf(a - half), Max: mmOf(a + half), Current: mmOf(a)}
			s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: t})
		}
		_ = j
		at += 50 + 60*r.Float64()
	}
	k := []int{8, 20}[r.IntN(2)]
	for i := range k {
		w := mmOf(float64(250+r.IntN(900)) / 10)
		it := order.Item{ID: fmt.Sprint("w", i), Min: w, Max: w}
		switch d.values {
		case "hand":
			it.Value = int64(800+r.IntN(600)) * 10_000
		case "area":
			it.Value = 10_000_000
		default:
			it.Value = int64(900+r.IntN(20)*10) * 10_000
		}
		if r.IntN(2) == 0 {
			it.LeastLength = mmOf(float64(300 + r.IntN(900)))
		}
		if d.caps == "two" && i < 2 || d.caps == "each" {
			it.Measure, it.Required = order.ByLength, int64(b.Length)/1000*6/10
		}
		if d.caps == "end" {
			it.Measure, it.Required = order.ByLength, int64(b.Length)/1000*int64(r.IntN(40))/10
		}
		p.Items = append(p.Items, it)
	}
	if d.rng != "none" {
		v := map[string]int64{"less": 4_000_000, "equal": 9_900_000, "more": 14_000_000}[d.rng]
		p.Items = append(p.Items, order.Item{ID: "r", Random: true, Min: mmOf(25), Max: mmOf(60 + 40*r.Float64()), Value: v})
	}
	return p
}

func cpu() float64 {
	var ts syscall.Timespec
	_, _, _ = syscall.Syscall(syscall.SYS_CLOCK_GETTIME, 3, uintptr(unsafe.Pointer(&ts)), 0)
	return float64(ts.Sec)*1e3 + float64(ts.Nsec)/1e6
}

func pct(v []float64, q float64) float64 {
	slices.Sort(v)
	if len(v) == 0 {
		return 0
	}
	return v[min(int(q*float64(len(v))), len(v)-1)]
}

func TestAgainstOld(t *testing.T) {
	s := os.Getenv("BROAD")
	if s == "" {
		t.Skip()
	}
	runtime.LockOSThread()
	n, _ := strconv.Atoi(s)
	seed, _ := strconv.ParseUint(os.Getenv("SEED"), 10, 64)
	arbors := strings.Fields("FFMM MFMM FMMM FMMMM MMFMM MMFFMM MMMFMMM MFFM FFFFFF")
	if a := os.Getenv("ARBORS"); a != "" {
		arbors = strings.Fields(a)
	}
	noOld := os.Getenv("NOOLD") != ""
	travels := strings.Fields(envOr("TRAVEL", "wide"))
	capsOf := strings.Fields(envOr("CAPS", "none two each end"))
	rngs := strings.Fields(envOr("RANGE", "none less equal more"))
	values := strings.Fields(envOr("VALUES", "hand area planned"))
	for _, a := range arbors {
		var told, tnew []float64
		open := map[string]int{}
		both, differ, oldOpen := 0, 0, 0
		worst := ""
		for i := range n {
			r := rand.New(rand.NewPCG(seed, uint64(i)*977+5))
			d := draw{a, travels[r.IntN(len(travels))], values[r.IntN(len(values))], rngs[r.IntN(len(rngs))], capsOf[r.IntN(len(capsOf))]}
			p := drawn(r, d)
			if l := p.Faults(); len(l) > 0 {
				t.Fatal(l)
			}
			if !fences.Serves(&p.Board, &p.Saw, p.Items) {
				t.Fatal("not served")
			}
			c0 := cpu()
			m := model.New(&p.Board, &p.Saw, p.Items)
			res := fences.Solve(m, budget.New(budget.Limits{}))
			c1 := cpu()
			tnew = append(tnew, c1-c0)
			if c1-c0 >= slices.Max(tnew) {
				worst = fmt.Sprint(i, d, res.Open, res.Fences, res.States, res.Rounds)
			}
			open[fmt.Sprint(res.Open)]++
			if res.Open == fences.Unmet {
				t.Errorf("unmet: %s %d %v", a, i, d)
			}
			if noOld {
				continue
			}
			c0 = cpu()
			stop := func() bool { return cpu()-c0 > 400 }
			old, err := rip.Solve(p, rip.Options{Stop: stop})
			told = append(told, cpu()-c0)
			if err != nil {
				t.Fatal(err)
			}
			if !old.Proven {
				oldOpen++
			}
			if old.Best.Worth.Cmp(res.Bound) > 0 {
				t.Errorf("%s %d %v: bound below %v %v", a, i, d, old.Best.Worth, res.Bound)
			}
			if old.Proven && res.Proven {
				both++
				if g, w := written(m, res.Plan), oracle.Written(old.Best); g != w {
					differ++
					t.Errorf("%s %d %v:\n new %s\n old %s", a, i, d, g, w)
				}
			}
		}
		fmt.Printf("%-8s new %6.2f %6.2f %6.2f  old %6.2f %6.2f %6.2f  open new %v old %d both %d differ %d worst %s\n", a,
			pct(tnew, .5), pct(tnew, .99), pct(tnew, 1), pct(told, .5), pct(told, .99), pct(told, 1), open, oldOpen, both, differ, worst)
	}
}

func envOr(k, v string) string {
	if s := os.Getenv(k); s != "" {
		return s
	}
	return v
}
