package shrink

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// Wood Handbook, FPL-GTR-190, chapter 13 (equation from memory, result read): 232
// mm of white fir, C_T 0.00245, from 8 to 11 % gain 1.7 mm.
func TestWorkedExample(t *testing.T) {
	near(t, "white fir", By(232, 0.00245, 8, 11), 1.7052, 1e-12)
	fir := Species{Name: "white fir", RadialCoefficient: 0.00245, TangentialCoefficient: 0.00245}
	c := fir.Between(8, 11)
	near(t, "in per cent of 232 mm", 232*c.Tangential/100, 1.7052, 1e-12)
	if c.Equation != Coefficient {
		t.Errorf("equation %d", c.Equation)
	}
	near(t, "back again", fir.Between(11, 8).Tangential, -c.Tangential, 1e-12)
}

// Wood Handbook, FPL-GTR-190: table 4-3, shrinkage from green to ovendry in per
// cent, and table 13-5, change coefficients.
func TestTables(t *testing.T) {
	for _, c := range []struct {
		name                string
		r, t, v, cr, ct     float64
		status              string
		coefficientsOfGroup bool // the coefficients are for the commercial group of oaks, not for the species alone
	}{
		{"black cherry", 3.7, 7.1, 11.5, .00126, .00248, "read", false},
		{"black walnut", 5.5, 7.8, 12.8, .00190, .00274, "read", false},
		{"white ash", 4.9, 7.8, 13.3, .00169, .00274, "read", false},
		{"white oak", 5.6, 10.5, 16.3, .00180, .00365, "read", true},
		{"yellow birch", 7.3, 9.5, 16.8, .00256, .00338, "read", false},
		{"sweetgum", 5.3, 10.2, 15.8, .00183, .00365, "read", false},
		{"yellow-poplar", 4.6, 8.2, 12.7, .00158, .00289, "from memory", false},
		{"northern red oak", 4.0, 8.6, 13.7, .00158, .00369, "from memory", true},
		{"sugar maple", 4.8, 9.9, 14.7, .00165, .00353, "from memory", false},
	} {
		s, ok := Find(c.name)
		if !ok {
			t.Errorf("%s is not known", c.name)
			continue
		}
		// From green to ovendry the change is what table 4-3 says.
		d := s.Between(60, 0)
		near(t, c.name+" radial, "+c.status, d.Radial, -c.r, 1e-9)
		near(t, c.name+" tangential, "+c.status, d.Tangential, -c.t, 1e-9)
		near(t, c.name+" volumetric, "+c.status, d.Volumetric, -c.v, 1e-9)
		// For one per cent of moisture content it is what table 13-5 says.
		d = s.Between(8, 9)
		near(t, c.name+" C_R, "+c.status, d.Radial, 100*c.cr, 1e-9)
		near(t, c.name+" C_T, "+c.status, d.Tangential, 100*c.ct, 1e-9)
		// The tables agree with each other, and so do our two equations: the coefficients
		// equal those of the other equation around 10 % (equation from memory), to their
		// last digit.
		if c.coefficientsOfGroup {
			continue
		}
		only := Species{Radial: c.r, Tangential: c.t, Volumetric: c.v}
		d = only.Between(10, 11)
		near(t, c.name+": C_R out of table 4-3", d.Radial/100, c.cr, .000006)
		near(t, c.name+": C_T out of table 4-3", d.Tangential/100, c.ct, .000006)
	}
	if len(Known()) != 9 {
		t.Errorf("%d species are built in and 9 were tested", len(Known()))
	}
}

func TestWhatIsNotKnown(t *testing.T) {
	if _, ok := Find("wishwood"); ok {
		t.Error("an invented species is known")
	}
	if _, ok := Find("Black CHERRY"); !ok {
		t.Error("capitals matter")
	}
	var none Species
	if c := none.Between(60, 8); c != (Change{}) {
		t.Errorf("a species without figures changes by %v", c)
	}
	// Coefficients alone give nothing outside their range.
	fir := Species{RadialCoefficient: .00131, TangentialCoefficient: .00245}
	if c := fir.Between(60, 8); c.Equation != Unknown {
		t.Errorf("beyond 14 %%: %v", c)
	}
	cherry, _ := Find("black cherry")
	if c := cherry.Between(80, 30); c.Tangential != 0 || c.Equation != GreenOvendry {
		t.Errorf("wood above 30 %% changes by %v", c)
	}
	if c := cherry.Between(6, 14); c.Equation != Coefficient {
		t.Errorf("the ends of the range are not in it: %v", c)
	}
	if c := cherry.Between(5.9, 14); c.Equation != GreenOvendry {
		t.Errorf("below the range: %v", c)
	}
}
