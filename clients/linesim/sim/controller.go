package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Controller checks plans as a saw's controller must before anything moves, by the checks
// of the wiring guide, and knows where its axes stand.
type Controller struct {
	Saw         *ripwrightv1.Saw
	Fingerprint string               // of the arbor that it was set up for
	Start       *ripwrightv1.Setting // initial position of fence and blades; nil: at the lower ends
	// Tolerance is how far the machine may stand from the plan, in mm; 0: whole
	// nanometres.
	Tolerance float64
	// Drive moves the axes and gives their measured positions: fence, then blades. Nil:
	// they stand where they were sent.
	Drive func(from, to []float64) []float64
	// Turns says that boards are turned before they are fed, as plans require.
	Turns bool

	at  []float64 // fence, then blades; nil: as the saw was set up
	set int32     // the board whose plan they were last set by; 0: otherwise
}

// near is the tolerance for equal positions, in mm. They are whole nanometres.
const near = 1e-6

// Check checks a plan for a board when it arrives: all that does not depend on where the
// axes will stand. An error means that the saw must not be set.
func (c *Controller) Check(b *ripwrightv1.Board, p *ripwrightv1.LinePlan) error {
	plan := p.GetPlan()
	if p.GetBoardId() != b.GetBoardId() { // 1
		return fmt.Errorf("the plan is for board %s, not %s", p.GetBoardId(), b.GetBoardId())
	}
	if p.GetArborFingerprint() != c.Fingerprint { // 2
		return fmt.Errorf("the plan is for arbor fingerprint %s, not %s", p.GetArborFingerprint(), c.Fingerprint)
	}
	if err := c.stand(plan); err != nil { // 3, 4 and 5
		return err
	}
	if err := c.fits(b); err != nil { // 6
		return err
	}
	lies, err := c.turned(b, plan.GetSetting().GetTurn()) // 9
	if err != nil {
		return err
	}
	for i, k := range plan.GetPockets() {
		if k.GetItemId() == "" {
			continue
		}
		if k.GetWidthMm() < c.Saw.GetMinStripWidthMm()-near { // 5
			return fmt.Errorf("pocket %d: the strip is %g mm wide, below the least strip width, %g mm", i, k.GetWidthMm(), c.Saw.GetMinStripWidthMm())
		}
		if err := c.covered(lies, plan, k); err != nil {
			return fmt.Errorf("pocket %d: %w", i, err)
		}
	}
	a := plan.GetAccount()
	if sum := a.GetStripM2() + a.GetEndTrimM2() + a.GetOffcutM2() + a.GetEdgingM2() + a.GetKerfM2(); math.Abs(sum-a.GetFaceM2()) > 1e-9 {
		return fmt.Errorf("the account totals %g m2, the face is %g m2", sum, a.GetFaceM2())
	}
	return nil
}

// fits checks that a board is one that the saw takes.
func (c *Controller) fits(b *ripwrightv1.Board) error {
	l, wide := c.Saw.GetLimits(), 0.0
	if l == nil {
		return nil
	}
	for _, s := range b.GetStations() {
		wide = max(wide, s.GetFarMm())
	}
	for _, f := range []struct {
		what        string
		is          float64
		least, most *float64
	}{
		{"long", b.GetLengthMm(), l.MinLengthMm, l.MaxLengthMm},
		{"wide", wide, l.MinWidthMm, l.MaxWidthMm},
		{"thick", b.GetThicknessMm(), l.MinThicknessMm, l.MaxThicknessMm},
	} {
		if f.what == "thick" && b.ThicknessMm == nil {
			continue // not measured
		}
		if f.least != nil && f.is < *f.least-near || f.most != nil && f.is > *f.most+near {
			return fmt.Errorf("the board is %g mm %s, outside the saw's limits", f.is, f.what)
		}
	}
	return nil
}

// ErrMissed says that axes do not stand where they were sent. The plan is not at fault.
var ErrMissed = errors.New("the board must not be fed")

// Move sets the axes for a board that has reached the saw, after its targets are checked
// (7), and measures where they then stand (8). After an error the board must not be fed.
func (c *Controller) Move(sequence int32, p *ripwrightv1.LinePlan) error {
	if err := c.targets(p); err != nil { // 7
		return err
	}
	from, to := c.now(), positions(p.GetPlan().GetSetting())
	c.at, c.set = to, sequence
	if c.Drive != nil {
		c.at = c.Drive(from, slices.Clone(to))
	}
	for i := range to { // 8
		if math.Abs(c.at[i]-to[i]) > max(c.Tolerance, near) {
			c.set = 0 // by no plan
			return fmt.Errorf("%w: axis %d was sent to %g mm and stands at %g mm", ErrMissed, i, to[i], c.at[i])
		}
	}
	return nil
}

// Set records that the axes stand as set, by the plan of a board or, if board is 0,
// otherwise.
func (c *Controller) Set(to *ripwrightv1.Setting, board int32) { c.at, c.set = positions(to), board }

// Stands gives the measured position of the axes.
func (c *Controller) Stands() *ripwrightv1.Setting {
	at := c.now()
	return &ripwrightv1.Setting{FenceMm: &at[0], BladesMm: at[1:]}
}

func positions(s *ripwrightv1.Setting) []float64 {
	return append([]float64{s.GetFenceMm()}, s.GetBladesMm()...)
}

func (c *Controller) now() []float64 {
	if c.at == nil {
		c.at = c.start()
	}
	return slices.Clone(c.at)
}

// stand checks that fence and blades can reach their positions.
func (c *Controller) stand(p *ripwrightv1.Plan) error {
	stop := func(what string, at float64, t *ripwrightv1.Travel) error {
		if at < t.GetMinMm()-near || at > t.GetMaxMm()+near {
			return fmt.Errorf("%s at %g mm is outside its travel, %g to %g mm", what, at, t.GetMinMm(), t.GetMaxMm())
		}
		if off := math.Abs(math.Remainder(at, c.Saw.GetStepMm())); off > near {
			return fmt.Errorf("%s at %g mm is %g mm off the nearest stop", what, at, off)
		}
		return nil
	}
	if err := stop("the fence", p.GetSetting().GetFenceMm(), c.Saw.GetFence()); err != nil {
		return err
	}
	if len(p.GetSetting().GetBladesMm()) != len(c.Saw.GetBlades()) {
		return fmt.Errorf("the plan has %d blades, the saw %d", len(p.GetSetting().GetBladesMm()), len(c.Saw.GetBlades()))
	}
	for i, at := range p.GetSetting().GetBladesMm() {
		b := c.Saw.GetBlades()[i]
		what := fmt.Sprintf("blade %d", i)
		if t := b.GetMoving(); t != nil {
			if err := stop(what, at, t); err != nil {
				return err
			}
		} else if math.Abs(at-b.GetFixedMm()) > near {
			return fmt.Errorf("%s at %g mm is fixed at %g mm", what, at, b.GetFixedMm())
		}
		if i > 0 && at-p.GetSetting().GetBladesMm()[i-1]-c.Saw.GetKerfMm() < c.Saw.GetMinGapMm()-near {
			return fmt.Errorf("%s at %g mm leaves less than the least gap, %g mm, to the blade before it", what, at, c.Saw.GetMinGapMm())
		}
	}
	return nil
}

// targets checks that the targets start from where the axes stand and end where the plan
// has them. They may start elsewhere only if the plan stated an assumption that did not
// hold: a board ahead that was not cut by its plan, or axes that were not measured.
func (c *Controller) targets(p *ripwrightv1.LinePlan) error {
	want, at := positions(p.GetPlan().GetSetting()), c.now()
	if len(want) != len(at) {
		return fmt.Errorf("the plan has %d positions, the saw %d axes", len(want), len(at))
	}
	open := false
	switch s := p.GetStart(); s.GetBasis() {
	case ripwrightv1.StartBasis_START_BASIS_AHEAD:
		open = c.set != s.GetBoardSequence()
	case ripwrightv1.StartBasis_START_BASIS_ASSUMED:
		open = true
	case ripwrightv1.StartBasis_START_BASIS_SET_UP, ripwrightv1.StartBasis_START_BASIS_MEASURED, ripwrightv1.StartBasis_START_BASIS_CUT:
	case ripwrightv1.StartBasis_START_BASIS_UNSPECIFIED:
		return errors.New("the plan states no start basis")
	}
	seen := make([]bool, len(want))
	for _, t := range p.GetTargets() {
		k := 0
		switch t.GetAxis() {
		case ripwrightv1.Axis_AXIS_SKEW:
			continue
		case ripwrightv1.Axis_AXIS_BLADE:
			k = 1 + int(t.GetBlade())
		case ripwrightv1.Axis_AXIS_FENCE:
		case ripwrightv1.Axis_AXIS_UNSPECIFIED:
			return fmt.Errorf("target %v names no axis", t)
		}
		if k < 0 || k >= len(want) {
			return fmt.Errorf("target %v is for a blade that the saw does not have", t)
		}
		seen[k] = true
		if !open && math.Abs(t.GetFromPosition()-at[k]) > max(c.Tolerance, near) || math.Abs(t.GetToPosition()-want[k]) > near {
			return fmt.Errorf("target %v, start %v: the axis stands at %g mm and must go to %g mm", t, p.GetStart(), at[k], want[k])
		}
	}
	for k := range want {
		if !seen[k] && want[k] != at[k] {
			return fmt.Errorf("axis %d has no target; it stands at %g mm and must go to %g mm", k, at[k], want[k])
		}
	}
	return nil
}

// start is the initial position of fence and blades: by default the lower ends of their
// travels.
func (c *Controller) start() []float64 {
	at := []float64{c.Saw.GetFence().GetMinMm()}
	if c.Start != nil && c.Start.FenceMm != nil {
		at[0] = c.Start.GetFenceMm()
	}
	if said := c.Start.GetBladesMm(); len(said) > 0 {
		return append(at, said...)
	}
	for _, b := range c.Saw.GetBlades() {
		at = append(at, b.GetFixedMm()+b.GetMoving().GetMinMm())
	}
	return at
}

// covered checks that there is wood, less the trim, over the whole of a strip.
func (c *Controller) covered(b *ripwrightv1.Board, p *ripwrightv1.Plan, k *ripwrightv1.Pocket) error {
	if math.Abs(k.GetFarMm()-k.GetNearMm()-k.GetWidthMm()) > near {
		return fmt.Errorf("a strip %g mm wide cannot lie from %g to %g mm", k.GetWidthMm(), k.GetNearMm(), k.GetFarMm())
	}
	counted, trim := 0.0, c.Saw.GetEdgeTrimMm()
	skew := p.GetSetting().GetSkewMmPerM() / 1000
	low := math.Inf(1)
	for x := 0.0; x <= b.GetLengthMm(); x++ {
		n, _ := edges(b, x)
		low = min(low, n+skew*x)
	}
	const slack = 0.01 // ends are rounded to micrometres, and edges slope
	for _, r := range k.GetStretches() {
		counted += (r.GetToMm() - r.GetFromMm()) / 1000
		for i := range 41 {
			x := r.GetFromMm() + (r.GetToMm()-r.GetFromMm())*float64(i)/40
			n, f := edges(b, x)
			if skew != 0 {
				n, f = n+skew*x-low, f+skew*x-low
			}
			if k.GetNearMm() < n+trim-slack || k.GetFarMm() > f-trim+slack {
				return fmt.Errorf("no wood at x = %g mm: the strip lies from %g to %g mm, the trimmed edges at %g and %g mm", x, k.GetNearMm(), k.GetFarMm(), n+trim, f-trim)
			}
		}
	}
	if math.Abs(counted-k.GetCountedLengthM()) > 1e-6 {
		return fmt.Errorf("%g m counted, stretches total %g m", k.GetCountedLengthM(), counted)
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
