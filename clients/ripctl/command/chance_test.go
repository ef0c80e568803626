package command

import "testing"

// A level is read as people write it; an invalid one is passed on, to be refused by the
// service's own limits.
func TestChance(t *testing.T) {
	for text, want := range map[string]float64{"0.9": 0.9, "90%": 0.9, "90 %": 0.9, "90": 0.9, "99.5": 0.995, "3": 3, "0.5%": 0.005, "0": 0} {
		got := -1.0
		if err := (chance{&got}).Set(text); err != nil || got != want {
			t.Errorf("%q: %g, %v; want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "much", "9O", "%"} {
		if got := 0.0; (chance{&got}).Set(text) == nil {
			t.Errorf("%q is %g", text, got)
		}
	}
}
