package modbus

// span of registers that one request asks for, and the words that lie in it, the first and
// the last maybe in part.
type span struct {
	input      bool
	first, end int
	words      []*word
}

// spans gives the requests for words, of which those beside each other are asked together.
func spans(words []*word, most int) (l []span) {
	for _, w := range words { // by their registers
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
