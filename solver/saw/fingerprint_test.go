package saw

import (
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

func example() *Saw {
	const mm = unit.Millimetre
	return &Saw{Kerf: 3600 * unit.Micrometre, Step: 100 * unit.Micrometre, Gap: 30 * mm, Trim: 3 * mm, LeastStrip: 25 * mm,
		Fence:  Travel{Min: 40 * mm, Max: 290 * mm, Current: 40 * mm},
		Blades: []Blade{{At: 150 * mm}, {Moving: true, Travel: Travel{Min: 200 * mm, Max: 420 * mm, Current: 300 * mm}}}}
}

// Fingerprints stay the same across releases: these are those of v0.1.0. Controllers
// store them, so a release must not change them.
func TestFingerprintsStay(t *testing.T) {
	s := example()
	if got, want := s.ArborFingerprint(), "e059acf3284f8894518a608a"; got != want {
		t.Errorf("the arbor's is %s, and was %s", got, want)
	}
	if got, want := s.Fingerprint(Figure{"feed", 20_000_000_000}), "4cb1dafc6ef83bfedbb1cd98"; got != want {
		t.Errorf("the saw's is %s, and was %s", got, want)
	}
	if s.Fingerprint() != s.Fingerprint(Figure{"to come", 0}) {
		t.Error("a figure that a later release knows too changes the fingerprint of a saw that does not use it")
	}
}

// The arbor's fingerprint changes with everything that a controller has to agree on, and
// with nothing else; then the saw's changes too.
func TestFingerprintsCover(t *testing.T) {
	base := example()
	for what, c := range map[string]struct {
		change       func(*Saw)
		arbor, whole bool
	}{
		"where it stands":  {func(s *Saw) { s.Fence.Current, s.Blades[1].Travel.Current = 1, 1 }, false, false},
		"the kerf":         {func(s *Saw) { s.Kerf++ }, true, true},
		"the step":         {func(s *Saw) { s.Step++ }, true, true},
		"the gap":          {func(s *Saw) { s.Gap++ }, true, true},
		"the fence":        {func(s *Saw) { s.Fence.Min++ }, true, true},
		"a fixed blade":    {func(s *Saw) { s.Blades[0].At++ }, true, true},
		"a travel":         {func(s *Saw) { s.Blades[1].Travel.Max++ }, true, true},
		"a blade more":     {func(s *Saw) { s.Blades = append(s.Blades, Blade{}) }, true, true},
		"blades swapped":   {func(s *Saw) { s.Blades[0], s.Blades[1] = s.Blades[1], s.Blades[0] }, true, true},
		"the trim":         {func(s *Saw) { s.Trim++ }, false, true},
		"the least strip":  {func(s *Saw) { s.LeastStrip++ }, false, true},
		"the skew":         {func(s *Saw) { s.Skew++ }, false, true},
		"a limit":          {func(s *Saw) { s.Limits.MaxWidth++ }, false, true},
		"a price":          {func(s *Saw) { s.Rerip.Value++ }, false, true},
		"a limit's sister": {func(s *Saw) { s.Limits.MinWidth++ }, false, true},
	} {
		s := example()
		c.change(s)
		if got := s.ArborFingerprint() != base.ArborFingerprint(); got != c.arbor {
			t.Errorf("%s changes the arbor's: %v", what, got)
		}
		if got := s.Fingerprint() != base.Fingerprint(); got != c.whole {
			t.Errorf("%s changes the saw's: %v", what, got)
		}
	}
}
