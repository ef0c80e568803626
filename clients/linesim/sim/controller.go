package sim

import (
	"fmt"
	"math"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Controller checks plans as a saw's controller has to before anything moves, and
// remembers where it moved to.
type Controller struct {
	Saw         *ripwrightv1.Saw
	Fingerprint string
	at          []float64 // fence, then blades; nil: as the saw was set up
}

// near is how closely positions have to agree in mm. They are whole nanometres.
const near = 1e-6

// Move checks a plan for a board and takes up its positions. An error means that
// the saw must not be set.
func (c *Controller) Move(b *ripwrightv1.Board, p *ripwrightv1.LinePlan) error {
	plan := p.GetPlan()
	if p.GetSawFingerprint() != c.Fingerprint {
		return fmt.Errorf("the plan is for the set-up %s, not %s", p.GetSawFingerprint(), c.Fingerprint)
	}
	if err := c.stand(plan); err != nil {
		return err
	}
	if err := c.targets(p); err != nil {
		return err
	}
	for i, k := range plan.GetPockets() {
		if k.GetItemId() == "" {
			continue
		}
		if err := c.covered(b, plan, k); err != nil {
			return fmt.Errorf("pocket %d: %w", i, err)
		}
	}
	a := plan.GetAccount()
	if sum := a.GetStripM2() + a.GetEndTrimM2() + a.GetOffcutM2() + a.GetEdgingM2() + a.GetKerfM2(); math.Abs(sum-a.GetFaceM2()) > 1e-9 {
		return fmt.Errorf("the account comes to %g m2 of %g m2", sum, a.GetFaceM2())
	}
	return nil
}

// stand checks that fence and blades can stand where they are to.
func (c *Controller) stand(p *ripwrightv1.Plan) error {
	stop := func(what string, at float64, t *ripwrightv1.Travel) error {
		if at < t.GetMinMm()-near || at > t.GetMaxMm()+near {
			return fmt.Errorf("%s at %g is outside its travel, %g to %g", what, at, t.GetMinMm(), t.GetMaxMm())
		}
		if off := math.Abs(math.Remainder(at, c.Saw.GetStepMm())); off > near {
			return fmt.Errorf("%s at %g is %g off its stops", what, at, off)
		}
		return nil
	}
	if err := stop("the fence", p.GetFenceMm(), c.Saw.GetFence()); err != nil {
		return err
	}
	if len(p.GetBladesMm()) != len(c.Saw.GetBlades()) {
		return fmt.Errorf("%d blades in the plan, %d on the saw", len(p.GetBladesMm()), len(c.Saw.GetBlades()))
	}
	for i, at := range p.GetBladesMm() {
		b := c.Saw.GetBlades()[i]
		what := fmt.Sprintf("blade %d", i)
		if t := b.GetMoving(); t != nil {
			if err := stop(what, at, t); err != nil {
				return err
			}
		} else if math.Abs(at-b.GetFixedMm()) > near {
			return fmt.Errorf("%s at %g is fixed at %g", what, at, b.GetFixedMm())
		}
		if i > 0 && at-p.GetBladesMm()[i-1]-c.Saw.GetKerfMm() < c.Saw.GetSmallestGapMm()-near {
			return fmt.Errorf("%s at %g is too near to the one before it", what, at)
		}
	}
	return nil
}

// targets checks that the targets lead from where things stand to where the plan
// has them.
func (c *Controller) targets(p *ripwrightv1.LinePlan) error {
	want := append([]float64{p.GetPlan().GetFenceMm()}, p.GetPlan().GetBladesMm()...)
	if c.at == nil {
		c.at = append(c.at, c.Saw.GetFence().GetCurrentMm())
		for _, b := range c.Saw.GetBlades() {
			c.at = append(c.at, b.GetFixedMm()+b.GetMoving().GetCurrentMm())
		}
	}
	seen := 0
	for _, t := range p.GetTargets() {
		k := 0
		switch t.GetAxis() {
		case ripwrightv1.Axis_AXIS_SKEW:
			continue
		case ripwrightv1.Axis_AXIS_BLADE:
			k = 1 + int(t.GetBlade())
		}
		seen++
		if math.Abs(t.GetFrom()-c.at[k]) > near || math.Abs(t.GetTo()-want[k]) > near {
			return fmt.Errorf("target %v; it stands at %g and has to go to %g", t, c.at[k], want[k])
		}
	}
	for k := range want {
		if want[k] != c.at[k] {
			seen--
		}
	}
	if seen < 0 {
		return fmt.Errorf("%d targets are missing", -seen)
	}
	c.at = want
	return nil
}

// covered checks that there is wood, less the trim, over the whole of a strip.
func (c *Controller) covered(b *ripwrightv1.Board, p *ripwrightv1.Plan, k *ripwrightv1.Pocket) error {
	if math.Abs(k.GetRightMm()-k.GetLeftMm()-k.GetWidthMm()) > near {
		return fmt.Errorf("%g mm wide from %g to %g", k.GetWidthMm(), k.GetLeftMm(), k.GetRightMm())
	}
	counted, trim := 0.0, c.Saw.GetEdgeTrimMm()
	skew := p.GetSkewMmPerM() / 1000
	low := math.Inf(1)
	for x := 0.0; x <= b.GetLengthMm(); x++ {
		n, _ := edges(b, x)
		low = min(low, n+skew*x)
	}
	const slack = 0.01 // ends are rounded to micrometres, and edges slope
	for _, r := range k.GetRuns() {
		counted += (r.GetToMm() - r.GetFromMm()) / 1000
		for i := range 41 {
			x := r.GetFromMm() + (r.GetToMm()-r.GetFromMm())*float64(i)/40
			n, f := edges(b, x)
			if skew != 0 {
				n, f = n+skew*x-low, f+skew*x-low
			}
			if k.GetLeftMm() < n+trim-slack || k.GetRightMm() > f-trim+slack {
				return fmt.Errorf("no wood at %g mm: %g to %g, trimmed edges at %g and %g", x, k.GetLeftMm(), k.GetRightMm(), n+trim, f-trim)
			}
		}
	}
	if math.Abs(counted-k.GetCountedM()) > 1e-6 {
		return fmt.Errorf("%g m counted, runs come to %g m", k.GetCountedM(), counted)
	}
	return nil
}

// edges gives the scanned edges at x.
func edges(b *ripwrightv1.Board, x float64) (n, f float64) {
	s := b.GetStations()
	for i := 1; i < len(s); i++ {
		if x <= s[i].GetXMm() {
			t := max((x-s[i-1].GetXMm())/(s[i].GetXMm()-s[i-1].GetXMm()), 0)
			return s[i-1].GetNearMm() + t*(s[i].GetNearMm()-s[i-1].GetNearMm()), s[i-1].GetFarMm() + t*(s[i].GetFarMm()-s[i-1].GetFarMm())
		}
	}
	last := s[len(s)-1]
	return last.GetNearMm(), last.GetFarMm()
}
