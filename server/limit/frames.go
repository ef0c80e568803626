package limit

import "encoding/binary"

// frames follows one direction of an HTTP/2 connection (RFC 9113, section 4.1), frame
// by frame, and looks at their heads alone.
type frames struct {
	skip int // bytes to the next head: of a payload, or of what comes first of all
	head [9]byte
	have int // bytes of it
}

// Types and flags of frames (RFC 9113, section 6).
const (
	frameData    = 0
	frameHeaders = 1
	frameReset   = 3

	endStream = 1
)

// preface is how long the text is that a client begins with.
const preface = 24

// feed takes what passed and tells of each head in it.
func (f *frames) feed(p []byte, tell func(kind, flags byte, stream uint32, length int)) {
	for len(p) > 0 {
		if f.skip > 0 {
			n := min(f.skip, len(p))
			f.skip -= n
			p = p[n:]
			continue
		}
		n := copy(f.head[f.have:], p)
		f.have += n
		p = p[n:]
		if f.have == len(f.head) {
			f.have = 0
			f.skip = int(f.head[0])<<16 | int(f.head[1])<<8 | int(f.head[2])
			tell(f.head[3], f.head[4], binary.BigEndian.Uint32(f.head[5:])&0x7fffffff, f.skip)
		}
	}
}
