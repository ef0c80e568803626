package audit_test

import (
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// lie changes a claim of the search about a problem. It reports false if there is nothing
// of its kind to change.
type lie struct {
	name string
	kind audit.Kind // of the difference that must reveal it
	tell func(p *rip.Problem, r *rip.Result) bool
}

// onPlan tells a lie about the last runner-up, or, if there is none, about the best plan.
func onPlan(tell func(p *rip.Problem, plan *rip.Plan) bool) func(*rip.Problem, *rip.Result) bool {
	return func(p *rip.Problem, r *rip.Result) bool {
		if n := len(r.RunnersUp); n > 1 {
			return tell(p, r.RunnersUp[n-1])
		}
		return tell(p, r.Best)
	}
}

// onStrip tells a lie about a plan's last strip.
func onStrip(tell func(p *rip.Problem, k *rip.Pocket) bool) func(*rip.Problem, *rip.Result) bool {
	return onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		for i := len(plan.Pockets) - 1; i >= 0; i-- {
			if k := &plan.Pockets[i]; k.Item != rip.None {
				return tell(p, k)
			}
		}
		return false
	})
}

// stand moves a blade, or with -1 the fence, and the pockets with it.
func stand(p *rip.Problem, plan *rip.Plan, blade int, by unit.Length) {
	if blade < 0 {
		plan.Fence += by
	} else {
		plan.Blades[blade] += by
	}
	for i := range plan.Pockets {
		k := &plan.Pockets[i]
		k.Left, k.Right = 0, plan.Blades[k.RightBlade]-plan.Fence
		if k.LeftBlade >= 0 {
			k.Left = plan.Blades[k.LeftBlade] + p.Saw.Kerf - plan.Fence
		}
		if p.Board.StraightNear {
			k.Left = max(k.Left, 0)
		}
	}
}

func add(w unit.Worth, n int64) unit.Worth {
	if n < 0 {
		return w.Sub(unit.Worth{Lo: uint64(-n)})
	}
	return w.Add(unit.Worth{Lo: uint64(n)})
}

var lies = []lie{
	{"fence off its stops", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		stand(p, plan, -1, 1)
		return true
	})},
	{"fence beyond its travel", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		stand(p, plan, -1, p.Saw.StepUp(p.Saw.Fence.Max+1)-plan.Fence)
		return true
	})},
	{"blade off its stops", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		i := slices.IndexFunc(p.Saw.Blades, func(b saw.Blade) bool { return b.Moving })
		if i < 0 {
			return false
		}
		stand(p, plan, i, 1)
		return true
	})},
	{"blade beyond its travel", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		i := len(p.Saw.Blades) - 1
		if b := &p.Saw.Blades[i]; b.Moving {
			stand(p, plan, i, p.Saw.StepUp(b.Travel.Max+1)-plan.Blades[i])
			return true
		}
		return false
	})},
	{"fixed blade moved", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		i := slices.IndexFunc(p.Saw.Blades, func(b saw.Blade) bool { return !b.Moving })
		if i < 0 {
			return false
		}
		stand(p, plan, i, 1)
		return true
	})},
	{"blades too close", audit.Setting, func(p *rip.Problem, r *rip.Result) bool {
		n := len(r.Best.Blades)
		if n < 2 {
			return false
		}
		p.Saw.Gap = r.Best.Blades[n-1] - r.Best.Blades[n-2] - p.Saw.Kerf + 1
		return true
	}},
	{"skew off its stops", audit.Setting, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Skew++
		return true
	})},
	{"skew beyond its limit", audit.Setting, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		plan.Skew = p.Saw.StepUp(p.Saw.Skew + 1)
		return true
	})},
	{"another skew", audit.Account, onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		// The account reveals it even if all strips are the same: blades lie elsewhere in
		// the wood. Shearing may leave a board as it is, see below.
		if p.Saw.Skew == 0 || p.Board.StraightNear || plan.Account.Kerf == 0 || plan.Account.Strip != 0 {
			return false
		}
		p.Saw.Skew = 40 * unit.Millimetre / p.Saw.Step * p.Saw.Step
		plan.Skew = p.Saw.Skew
		return plan.Skew != 0 && plan.Account.Offcut > 0
	})},

	{"pocket bound", audit.Pockets, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Right++
		return true
	})},
	{"pocket of other blades", audit.Pockets, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.LeftBlade, k.RightBlade = k.LeftBlade+1, k.RightBlade+1
		return true
	})},
	{"pocket left out", audit.Pockets, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		if len(plan.Pockets) == 0 {
			return false
		}
		plan.Pockets = plan.Pockets[1:]
		return true
	})},
	{"blade left out", audit.Pockets, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Blades = plan.Blades[1:]
		return true
	})},
	{"item that does not exist", audit.Pockets, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		k.Item = len(p.Items)
		return true
	})},
	{"strip of no item", audit.Pockets, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Item = rip.None
		return true
	})},
	{"no plan", audit.Pockets, func(_ *rip.Problem, r *rip.Result) bool {
		r.Best = nil
		return true
	}},

	{"item too wide by a nanometre", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		it.Random, it.Min, it.Max, it.Joint, it.Panel = true, k.Width()+1, k.Width()+1, 0, 0
		return true
	})},
	{"item too narrow by a nanometre", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		it.Random, it.Min, it.Max = true, k.Width()-1, k.Width()-1
		return true
	})},
	{"outside tolerance by a nanometre", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		if it.Random {
			return false
		}
		it.Min = k.Width() + max(it.Tolerance, p.Saw.Step/2) + 1
		it.Max = it.Min
		return true
	})},
	{"narrower than the least strip", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		p.Saw.LeastStrip = k.Width() + 1
		return true
	})},
	{"item that is off", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		if it.Measure == order.Unlimited {
			return false
		}
		it.Made = it.Required
		return true
	})},
	{"item for shorter boards", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		p.Items[k.Item].GreatestLength = p.Board.Length - 1
		return true
	})},
	{"lengths all filled", audit.Fit, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		for i := range it.Cuts {
			it.Cuts[i].Limited, it.Cuts[i].Made = true, it.Cuts[i].Required
		}
		return len(it.Cuts) > 0
	})},

	{"run longer by a micrometre", audit.Runs, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Runs[len(k.Runs)-1].To++
		k.Counted++
		return true
	})},
	{"run from earlier on", audit.Runs, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Runs[0].From--
		k.Counted++
		return true
	})},
	{"run left out", audit.Runs, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Counted -= k.Runs[0].Length()
		k.Runs = k.Runs[1:]
		return true
	})},
	{"run in two", audit.Runs, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		r := k.Runs[0]
		mid := (r.From + r.To) / 2
		k.Runs = append([]wood.Stretch{{From: r.From, To: mid}, {From: mid, To: r.To}}, k.Runs[1:]...)
		return true
	})},
	{"counted length", audit.Runs, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Counted--
		return true
	})},
	{"run that is too short", audit.Runs, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		p.Items[k.Item].LeastLength = unit.Length(k.Runs[0].Length())*1000 + 1
		return true
	})},
	{"defect in a strip", audit.Runs, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		x := unit.Length(k.Runs[0].From) * 1000
		p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: x, ToX: x + 1,
			FromY: k.Right - 1 - 1000*unit.Millimetre, ToY: k.Right + 1000*unit.Millimetre, Kind: "not accepted"})
		return true
	})},
	{"wood that does not exist", audit.Runs, onStrip(func(p *rip.Problem, _ *rip.Pocket) bool {
		for i := range p.Board.Stations {
			p.Board.Stations[i].Far -= 300 * unit.Millimetre
			p.Board.Stations[i].Near -= 300 * unit.Millimetre
		}
		return !p.Board.StraightNear && p.Saw.Skew == 0
	})},

	{"piece beyond its run", audit.Pieces, onPiece(func(it *order.Item, k *rip.Pocket) bool {
		last := &k.Pieces[len(k.Pieces)-1]
		by := unit.Length(k.Runs[len(k.Runs)-1].To)*1000 - it.EndTrim - last.To + 1
		last.From, last.To = last.From+by, last.To+by
		return true
	})},
	{"piece before its run", audit.Pieces, onPiece(func(_ *order.Item, k *rip.Pocket) bool {
		k.Pieces[0].From--
		k.Pieces[0].To--
		return true
	})},
	{"piece longer", audit.Pieces, onPiece(func(_ *order.Item, k *rip.Pocket) bool { k.Pieces[0].To++; return true })},
	{"piece of another length", audit.Pieces, onPiece(func(_ *order.Item, k *rip.Pocket) bool { k.Pieces[0].Cut++; return true })},
	{"piece twice", audit.Pieces, onPiece(func(_ *order.Item, k *rip.Pocket) bool {
		k.Pieces = append(k.Pieces, k.Pieces[0])
		return true
	})},
	{"more than are open", audit.Pieces, onPiece(func(it *order.Item, k *rip.Pocket) bool {
		n := int64(0)
		for _, c := range k.Pieces {
			if c.Cut == k.Pieces[0].Cut && c.To.Floor() <= k.Runs[0].To {
				n++
			}
		}
		c := &it.Cuts[k.Pieces[0].Cut]
		c.Limited, c.Required, c.Made = true, n-1, 0
		return n > 1
	})},
	{"piece left out", audit.Pieces, onPiece(func(it *order.Item, k *rip.Pocket) bool {
		if it.Cuts[k.Pieces[0].Cut].Value == 0 {
			return false
		}
		k.Pieces = k.Pieces[1:]
		return true
	})},

	{"amount", audit.Amounts, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Amount++
		return true
	})},
	{"more than is open", audit.Open, func(p *rip.Problem, r *rip.Result) bool { return reach(p, r, 0) }},

	{"worth of a strip", audit.Worth, onStrip(func(_ *rip.Problem, k *rip.Pocket) bool {
		k.Worth = add(k.Worth, 1)
		return true
	})},
	{"worth of the plan", audit.Worth, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Worth = add(plan.Worth, -1)
		return true
	})},
	{"worth throughout", audit.Worth, func(_ *rip.Problem, r *rip.Result) bool {
		for i := range r.Best.Pockets {
			if k := &r.Best.Pockets[i]; k.Item != rip.None {
				k.Worth, r.Best.Worth, r.Bound = add(k.Worth, 1), add(r.Best.Worth, 1), add(r.Bound, 1)
				return true
			}
		}
		return false
	}},
	{"value", audit.Worth, onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
		it := &p.Items[k.Item]
		it.Value++
		return len(it.Cuts) == 0
	})},

	{"deviation", audit.Measures, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.Deviation++; return true })},
	{"strip area", audit.Measures, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.StripArea--; return true })},
	{"blades in the wood", audit.Measures, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.BladesInWood++; return true })},
	{"travel", audit.Measures, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.Travel--; return true })},

	{"face", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.Account.Face++; return true })},
	{"face and edging", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.Face += mm2
		plan.Account.Edging += mm2
		return true
	})},
	{"strip in the account", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.Strip++
		plan.Account.EndTrim--
		return true
	})},
	{"kerf as edging", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.Kerf -= mm2
		plan.Account.Edging += mm2
		return true
	})},
	{"edging as offcut", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.Edging -= mm2
		plan.Account.Offcut += mm2
		return true
	})},
	{"end trim as kerf", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.EndTrim -= mm2
		plan.Account.Kerf += mm2
		return true
	})},
	{"crosscut loss", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.Account.CrosscutLoss++; return true })},
	{"fed again", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool { plan.Account.Rerip++; return true })},
	{"worth of what is fed again", audit.Account, onPlan(func(_ *rip.Problem, plan *rip.Plan) bool {
		plan.Account.ReripWorth = add(plan.Account.ReripWorth, 1)
		return true
	})},

	{"runner-up twice", audit.RunnersUp, func(_ *rip.Problem, r *rip.Result) bool {
		if len(r.RunnersUp) == 0 {
			return false
		}
		r.RunnersUp = append(r.RunnersUp, r.RunnersUp[0])
		return true
	}},
	{"the best as a runner-up", audit.RunnersUp, func(_ *rip.Problem, r *rip.Result) bool {
		r.RunnersUp = append([]*rip.Plan{r.Best}, r.RunnersUp...)
		return true
	}},
	{"runners-up out of order", audit.RunnersUp, func(_ *rip.Problem, r *rip.Result) bool {
		if len(r.RunnersUp) < 2 {
			return false
		}
		slices.Reverse(r.RunnersUp)
		return true
	}},
	{"a runner-up is better", audit.RunnersUp, func(_ *rip.Problem, r *rip.Result) bool {
		if len(r.RunnersUp) == 0 {
			return false
		}
		r.Best, r.RunnersUp[0] = r.RunnersUp[0], r.Best
		return true
	}},

	{"bound too low", audit.Proof, func(_ *rip.Problem, r *rip.Result) bool {
		if !r.Proven {
			return false
		}
		r.Bound, r.Proven, r.EndedBy = add(r.Bound, -1), false, rip.TimeLimit
		return true
	}},
	{"proven below the bound", audit.Proof, func(_ *rip.Problem, r *rip.Result) bool {
		r.Bound = add(r.Bound, 1)
		return r.Proven
	}},
	{"proven though stopped", audit.Proof, func(_ *rip.Problem, r *rip.Result) bool {
		r.EndedBy = rip.WorkLimit
		return r.Proven
	}},
}

// mm2 is a square millimetre, the least change of the account that is found in boards of
// any size.
const mm2 = unit.SquareMetre / 1_000_000

// onPiece tells a lie about a strip that has pieces.
func onPiece(tell func(it *order.Item, k *rip.Pocket) bool) func(*rip.Problem, *rip.Result) bool {
	return onPlan(func(p *rip.Problem, plan *rip.Plan) bool {
		for i := range plan.Pockets {
			if k := &plan.Pockets[i]; len(k.Pieces) > 0 {
				return tell(&p.Items[k.Item], k)
			}
		}
		return false
	})
}

// reach makes the strips of an item of the best plan, without the largest, equal to what
// is open, less an amount.
func reach(p *rip.Problem, r *rip.Result, less int64) bool {
	for i := range p.Items {
		it := &p.Items[i]
		var sum, most int64
		for k := range r.Best.Pockets {
			if k := &r.Best.Pockets[k]; k.Item == i {
				sum, most = sum+k.Amount, max(most, k.Amount)
			}
		}
		if it.Measure == order.ByArea {
			sum, most = sum-most, 0
			sum /= 1000
		}
		if it.Measure != order.Unlimited && sum > most {
			it.Required = it.Made + sum - most + less
			return true
		}
	}
	return false
}

// copied gives copies of a problem and a result that a lie may change.
func copied(p *rip.Problem, r *rip.Result) (*rip.Problem, *rip.Result) {
	q, s := *p, *r
	q.Board.Stations, q.Board.Defects = slices.Clone(p.Board.Stations), slices.Clone(p.Board.Defects)
	q.Saw.Blades = slices.Clone(p.Saw.Blades)
	q.Items = order.CloneItems(p.Items)
	plan := func(p *rip.Plan) *rip.Plan {
		c := *p
		c.Blades, c.Pockets = slices.Clone(p.Blades), slices.Clone(p.Pockets)
		for i := range c.Pockets {
			k := &c.Pockets[i]
			k.Runs, k.Pieces = slices.Clone(k.Runs), slices.Clone(k.Pieces)
		}
		return &c
	}
	s.Best, s.RunnersUp = plan(r.Best), nil
	for _, u := range r.RunnersUp {
		s.RunnersUp = append(s.RunnersUp, plan(u))
	}
	return &q, &s
}

// Every lie is found wherever it can be told, with its kind of difference.
func TestLies(t *testing.T) {
	told := make([]int, len(lies))
	for seed, done := int64(1), 0; done < instances(700); seed++ {
		p := drawn(seed)
		done++
		at, r := solved(t, seed, p)
		for i, l := range lies {
			q, s := copied(p, r)
			if !l.tell(q, s) {
				continue
			}
			told[i]++
			found := audit.Result(q, at, s)
			if !slices.ContainsFunc(found, func(d audit.Difference) bool { return d.Kind == l.kind }) {
				t.Fatalf("seed %d: %s is not found; differences: %v", seed, l.name, found)
			}
		}
	}
	for i, l := range lies {
		if told[i] < 5 && !brief.On() {
			t.Errorf("%s: reported only %d times", l.name, told[i])
		}
		t.Logf("%-34s %s, %d times", l.name, l.kind, told[i])
	}
}

// What is only just right is no difference.
func TestEdges(t *testing.T) {
	edges := []lie{
		{name: "a unit less than is open", tell: func(p *rip.Problem, r *rip.Result) bool {
			r.RunnersUp = nil // one of another kind may have more strips of the item
			return reach(p, r, 1)
		}},
		{name: "as long as the longest board", tell: onStrip(func(p *rip.Problem, k *rip.Pocket) bool {
			p.Items[k.Item].GreatestLength = p.Board.Length
			return true
		})},
		{name: "as narrow as the least strip", tell: func(p *rip.Problem, r *rip.Result) bool {
			least := 2 * farthest
			for i := range r.Best.Pockets {
				if k := &r.Best.Pockets[i]; k.Item != rip.None {
					least = min(least, k.Width())
				}
			}
			r.RunnersUp = nil
			p.Saw.LeastStrip = least
			return true
		}},
		{name: "as close as the gap", tell: func(p *rip.Problem, r *rip.Result) bool {
			p.Saw.Gap = 2 * farthest
			for i := 1; i < len(r.Best.Blades); i++ {
				p.Saw.Gap = min(p.Saw.Gap, r.Best.Blades[i]-r.Best.Blades[i-1]-p.Saw.Kerf)
			}
			r.RunnersUp = nil
			return true
		}},
		{name: "defect beside the strips", tell: func(p *rip.Problem, r *rip.Result) bool {
			r.RunnersUp = nil
			if r.Best.Skew != 0 {
				return false
			}
			for i := range r.Best.Pockets {
				k := &r.Best.Pockets[i]
				if k.Width() > 0 && p.Saw.Kerf > 0 {
					p.Board.Defects = append(p.Board.Defects, wood.Defect{ToX: p.Board.Length,
						FromY: k.Right, ToY: k.Right + p.Saw.Kerf, Kind: "not accepted"})
				}
			}
			return true
		}},
	}
	for seed, done := int64(1), 0; done < instances(700); seed++ {
		p := drawn(seed)
		done++
		at, r := solved(t, seed, p)
		for _, l := range edges {
			if q, s := copied(p, r); l.tell(q, s) {
				if found := audit.Result(q, at, s); len(found) > 0 {
					t.Fatalf("seed %d: %s is found: %v", seed, l.name, found)
				}
			}
		}
	}
}

const farthest = 10_000 * unit.Millimetre
