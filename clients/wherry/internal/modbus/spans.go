package modbus

// span is the registers of one request, with the words in it, of which the first and the
// last may be partial.
type span struct {
	input      bool
	first, end int
	words      []*word
}

// spans gives the requests for words; adjacent ones are combined.
func spans(words []*word, most int) (l []span) {
	for _, w := range words { // in the order of registers
		for at := w.first; at < w.end(); {
			if k := len(l) - 1; k >= 0 && l[k].input == w.input && l[k].end == at && at-l[k].first < most {
				l[k].end = min(w.end(), l[k].first+most)
				l[k].words = append(l[k].words, w)
			} else {
				l = append(l, span{w.input, at, min(w.end(), at+most), []*word{w}})
			}
			at = l[len(l)-1].end
		}
	}
	return l
}
