package oracle

import "github.com/ripwright/ripwright/solver/order"

// Pack gives the best value of pieces cut from a run in micrometres, by trying every
// number of every length; ok is false if no piece fits.
func Pack(it *order.Item, run int64) (value int64, ok bool) {
	best := int64(-1)
	var try func(k int, room, value, pieces int64)
	try = func(k int, room, value, pieces int64) {
		if k == len(it.Cuts) {
			if pieces > 0 {
				best = max(best, value)
			}
			return
		}
		c := &it.Cuts[k]
		for n := int64(0); ; n++ {
			if c.Limited && n > max(c.Required-c.Made, 0) {
				return
			}
			need := n * int64(c.Length)
			if n > 0 {
				need += n * int64(it.CutKerf)
				if pieces == 0 {
					need -= int64(it.CutKerf) // none before the first piece
				}
			}
			if need > room {
				return
			}
			try(k+1, room-need, value+n*c.Value, pieces+n)
		}
	}
	try(0, run*1000-2*int64(it.EndTrim), 0, 0)
	return best, best >= 0
}
