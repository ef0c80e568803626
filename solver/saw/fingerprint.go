package saw

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
)

// Fingerprint names the set-up that a plan was made for, so that a controller
// can refuse a plan made for other blades. It covers everything that a plan's
// validity depends on, and leaves out where fence and moving blades happen to
// stand, which changes with every board.
func (s *Saw) Fingerprint() string {
	h := sha256.New()
	put := func(vs ...int64) {
		for _, v := range vs {
			var b [8]byte
			binary.BigEndian.PutUint64(b[:], uint64(v))
			h.Write(b[:])
		}
	}
	put(2) // version of this layout
	put(int64(s.Kerf), int64(s.Step), int64(s.Gap), int64(s.Trim), int64(s.LeastStrip), int64(s.Skew))
	put(int64(s.Fence.Min), int64(s.Fence.Max))
	put(int64(s.Limits.MinLength), int64(s.Limits.MaxLength), int64(s.Limits.MinWidth),
		int64(s.Limits.MaxWidth), int64(s.Limits.MinThickness), int64(s.Limits.MaxThickness))
	put(int64(s.Rerip.Width), s.Rerip.Value)
	for _, b := range s.Blades {
		if b.Moving {
			put(1, int64(b.Travel.Min), int64(b.Travel.Max))
		} else {
			put(0, int64(b.At), 0)
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}
