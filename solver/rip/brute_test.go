package rip_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
)

// The search agrees with trying everything on the whole plan, ties and
// runners-up included. Set RIPWRIGHT_BRUTE for more instances.
func TestBruteForce(t *testing.T) { bruteForce(t, 6000) }

// And where tolls alone tell the bounds of the caps.
func TestBruteForceTolls(t *testing.T) {
	rip.WithoutStates(func() { bruteForce(t, 3000) })
}

func bruteForce(t *testing.T, want int) {
	if testing.Short() {
		want = 500
	}
	if s := os.Getenv("RIPWRIGHT_BRUTE"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		want = n
	}
	seen := map[string]int{}
	done := 0
	for seed := int64(1); done < want; seed++ {
		p := oracle.Problem(seed)
		if seed%2 == 0 {
			oracle.Grow(p, seed)
		}
		if len(p.Faults()) > 0 || !oracle.Small(p) {
			continue
		}
		done++
		all := oracle.Kinds(p)
		o := rip.Options{RunnersUp: int(seed % 4)}
		if seed%3 == 0 { // who may stop a search has it dive first
			o.Stop = func() bool { return false }
		}
		got, err := rip.Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		plans := append([]*rip.Plan{got.Best}, got.RunnersUp...)
		if !got.Proven || got.Bound != got.Best.Worth || len(plans) != min(o.RunnersUp+1, len(all)) {
			t.Fatalf("seed %d: %d plans of %d kinds; proven %v, bound %v, worth %v\n%+v",
				seed, len(plans), len(all), got.Proven, got.Bound, got.Best.Worth, p)
		}
		for i, g := range plans {
			if g, w := oracle.Written(g), all[i].String(); g != w {
				t.Fatalf("seed %d, plan %d:\n got %s\nwant %s\n%+v", seed, i, g, w, p)
			}
			adds(t, p, g)
			agrees(t, seed, g.Account, oracle.AccountOf(p, all[i]))
		}
		cover(seen, p, got.Best, all[0])
	}
	for _, what := range []string{"cap binds", "fixed blade in the wood", "fixed blade off the step", "straight near edge", "blade off the wood",
		"defects matter", "crosscut"} {
		if seen[what]*10 < done {
			t.Errorf("%s: only %d of %d instances", what, seen[what], done)
		}
	}
	t.Log(done, "instances:", fmt.Sprint(seen))
}

// adds checks that the account adds up and that no part is below nothing.
func adds(t *testing.T, p *rip.Problem, g *rip.Plan) {
	t.Helper()
	a := g.Account
	if a.Strip+a.EndTrim+a.Offcut+a.Edging+a.Kerf != a.Face || math.Abs(float64(a.Face-p.Board.Face())) > 1e-10*float64(a.Face) ||
		min(a.Strip, a.EndTrim, a.Offcut, a.Edging, a.Kerf) < 0 || a.Strip != g.StripArea {
		t.Errorf("account %+v, strips %d", a, g.StripArea)
	}
}

// agrees compares an account with the oracle's. Parts are rounded down between
// every two stations and the oracle's are floating-point sums, so they may be
// apart by up to 1e-10 of the face.
func agrees(t *testing.T, seed int64, a rip.Account, want oracle.Account) {
	t.Helper()
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"face", float64(a.Face), want.Face}, {"strip", float64(a.Strip), want.Strip},
		{"end trim", float64(a.EndTrim), want.EndTrim}, {"offcut", float64(a.Offcut), want.Offcut},
		{"edging", float64(a.Edging), want.Edging}, {"kerf", float64(a.Kerf), want.Kerf},
	} {
		if math.Abs(c.got-c.want) > 1e-10*want.Face {
			t.Errorf("seed %d: %s %v, want %v", seed, c.what, c.got, c.want)
		}
	}
}

// cover counts what an instance exercises.
func cover(seen map[string]int, p *rip.Problem, best *rip.Plan, want *oracle.Plan) {
	count := func(what string, is bool) {
		if is {
			seen[what]++
		}
	}
	free := *p
	free.Items = nil
	for _, it := range p.Items {
		if it.Required > it.Made {
			it.Measure, it.Required, it.Made = order.Unlimited, 0, 0
		}
		free.Items = append(free.Items, it)
	}
	r, err := rip.Solve(&free, rip.Options{})
	count("cap binds", err == nil && oracle.Written(r.Best) != want.String())
	bare := *p
	bare.Board.Defects = nil
	r, err = rip.Solve(&bare, rip.Options{})
	count("defects matter", err == nil && oracle.Written(r.Best) != want.String())
	count("skew", best.Skew != 0)
	count("crosscut", slices.ContainsFunc(best.Pockets, func(k rip.Pocket) bool { return len(k.Pieces) > 0 }))
	var fixedIn, offStep, off bool
	for j, b := range p.Saw.Blades {
		y := best.Blades[j] - best.Fence
		in := p.Board.Meets(y, y+p.Saw.Kerf)
		fixedIn = fixedIn || in && !b.Moving
		offStep = offStep || !b.Moving && b.At%p.Saw.Step != 0
		off = off || !in
	}
	count("fixed blade in the wood", fixedIn)
	count("fixed blade off the step", offStep)
	count("straight near edge", p.Board.StraightNear)
	count("blade off the wood", off)
	count("fed again", best.Account.Rerip > 0)
}
