//go:build verify

package lpmodel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// problem is larger than brute force can do: a 2 mm grid over a board of up to
// 300 mm, five blades of which up to two are fixed, eight widths, caps in pieces.
func problem(seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 1))
	even := func(lo, hi int) unit.Length { return unit.Length(lo+r.IntN((hi-lo)/2+1)*2) * mm }
	width := even(180, 300)
	crook, taper := unit.Length(r.IntN(16))*mm, unit.Length(r.IntN(20))*mm
	p := &rip.Problem{Board: wood.Board{Length: unit.Length(1800+r.IntN(2400)) * mm}}
	p.Board.Stations = []wood.Station{{X: 0, Near: 0, Far: width}, {X: p.Board.Length, Near: crook, Far: width - taper}}
	p.Saw = saw.Saw{Kerf: 4 * mm, Step: 2 * mm, Gap: 24 * mm, LeastStrip: 24 * mm, Trim: 2 * mm}
	fence := even(0, 60)
	p.Saw.Fence = saw.Travel{Min: fence, Max: fence, Current: fence}
	at := fence - even(0, 20)
	for range 5 {
		b := saw.Blade{At: at}
		if r.IntN(3) > 0 {
			b = saw.Blade{Moving: true, Travel: saw.Travel{Min: at - even(0, 60), Max: at + even(20, 100)}}
			b.Travel.Current = b.Travel.Min
		}
		p.Saw.Blades = append(p.Saw.Blades, b)
		at += even(30, 90)
	}
	for i := range 8 {
		w := even(26, 110)
		it := order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Value: int64(6+r.IntN(10)) * 1_000_000, LeastLength: unit.Length(r.IntN(1500)) * mm}
		if r.IntN(2) == 0 {
			it.Measure, it.Required = order.ByPieces, 1
		}
		p.Items = append(p.Items, it)
	}
	return p
}

// GLPK, CBC and HiGHS, published and widely used solvers, agree on the worth.
func TestReferenceSolvers(t *testing.T) {
	const instances = 60
	dir := t.TempDir()
	done := 0
	for seed := uint64(1); done < instances; seed++ {
		p := problem(seed)
		if len(p.Faults()) > 0 {
			continue
		}
		done++
		r, err := rip.Solve(p, rip.Options{})
		if err != nil || !r.Proven {
			t.Fatalf("seed %d: %v", seed, err)
		}
		file := filepath.Join(dir, fmt.Sprintf("%d.lp", seed))
		if err := os.WriteFile(file, []byte(model(p)), 0o600); err != nil {
			t.Fatal(err)
		}
		ours := r.Best.Worth.Money()
		for name, solve := range map[string]func(*testing.T, string) float64{"GLPK": glpk, "CBC": cbc, "HiGHS": highs} {
			if theirs := solve(t, file); math.Abs(theirs-ours) > 1e-6*max(1, ours) {
				t.Errorf("seed %d: %s has %v, we have %v\n%+v", seed, name, theirs, ours, p)
			}
		}
	}
	t.Logf("%d instances, three solvers", done)
}

func run(t *testing.T, name string, arg ...string) string {
	t.Helper()
	out, err := exec.Command(name, arg...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func number(t *testing.T, text, pattern string) float64 {
	t.Helper()
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no %s in\n%s", pattern, text)
	}
	v, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func glpk(t *testing.T, file string) float64 {
	out := file + ".glpk"
	run(t, "glpsol", "--lp", file, "--mipgap", "0", "-o", out)
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "INTEGER OPTIMAL") {
		t.Fatalf("GLPK: %.400s", text)
	}
	return number(t, string(text), `Objective:\s+obj = (\S+)`)
}

func cbc(t *testing.T, file string) float64 {
	text := run(t, "cbc", file, "-ratioGap", "0", "-allowableGap", "0", "-solve", "-quit")
	if !strings.Contains(text, "Optimal solution found") {
		t.Fatalf("CBC: %s", text)
	}
	return math.Abs(number(t, text, `Objective value:\s+(\S+)`))
}

const highsScript = `const load = require("highs"), fs = require("fs");
load().then(h => { const r = h.solve(fs.readFileSync(process.argv[1], "utf8"), {mip_rel_gap: 0, mip_abs_gap: 0});
if (r.Status !== "Optimal") throw new Error(r.Status); console.log("objective " + r.ObjectiveValue); });`

func highs(t *testing.T, file string) float64 {
	return number(t, run(t, "node", "-e", highsScript, file), `objective (\S+)`)
}
