package replan

import "math"

// settled is the number of boards over which values are averaged. A sample is small, and
// values planned from it have a random error; the next sample has other boards and
// another error. Averaging is worth a sample several times as large and takes no time.
// The length was tried on invented orders; see RESULTS.md.
const settled = 100

// steady averages new values with those in force, both scaled to the worth of lumber by
// the new ones; the more boards came since, the less the old ones count.
func (c *Course) steady(s *Set) {
	part := float64(s.Seen-c.Force.Seen) / settled
	if part >= 1 || c.Force.PerFace == 0 {
		return
	}
	mean := func(now, before int64) int64 {
		if now == 0 || before == 0 { // one of the plannings gave it no value
			return now
		}
		old := float64(before) / c.Force.PerFace * s.PerFace
		// The conversions prevent fused multiply-add, which would round differently on some
		// machines.
		return int64(math.Round(float64(part*float64(now)) + float64((1-part)*old)))
	}
	for i := range s.Items {
		v := &s.Items[i]
		for j := range c.Force.Items {
			before := &c.Force.Items[j]
			if before.Item != v.Item || before.Basis != v.Basis {
				continue
			}
			v.Value = mean(v.Value, before.Value)
			for k := range v.Cuts {
				for _, cut := range before.Cuts {
					if cut.Length == v.Cuts[k].Length {
						v.Cuts[k].Value = mean(v.Cuts[k].Value, cut.Value)
					}
				}
			}
		}
	}
}
