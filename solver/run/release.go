package run

import "slices"

// Waiting counts the boards under way: held, and not released.
func (r *Run) Waiting() (n int) {
	for i := range r.Held {
		if !r.Held[i].Released {
			n++
		}
	}
	return n
}

// overtaken counts one more cut board towards earlier ones that still wait, and releases
// those that ReleaseAfter boards have passed: boards come to the saw in order, so such a
// board was most likely taken away, or its confirmation was lost.
func (r *Run) overtaken(cut int32) (released []Held) {
	for i := range r.Held {
		h := &r.Held[i]
		if h.Sequence > cut {
			break
		}
		if h.Released || r.ReleaseAfter == 0 {
			continue
		}
		if h.Passed++; h.Passed >= r.ReleaseAfter {
			h.Released = true
			released = append(released, *h)
		}
	}
	r.forget()
	return released
}

// NewArbor releases all boards that wait: their plans are for an arbor that is gone, and
// no controller cuts by them.
func (r *Run) NewArbor() (released []Held) {
	for i := range r.Held {
		if h := &r.Held[i]; !h.Released {
			h.Released = true
			released = append(released, *h)
		}
	}
	r.forget()
	return released
}

// forget drops the oldest released boards beyond as many as may wait.
func (r *Run) forget() {
	for n := len(r.Held) - r.Waiting(); n > r.InFlight; n-- {
		i := slices.IndexFunc(r.Held, func(h Held) bool { return h.Released })
		r.Past.lost = max(r.Past.lost, r.Held[i].Sequence)
		r.Held = slices.Delete(r.Held, i, i+1)
		r.Forgotten++
	}
}
