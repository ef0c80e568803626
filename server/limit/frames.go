package limit

import "encoding/binary"

// frames follows one direction of an HTTP/2 connection (RFC 9113, section 4.1), frame by
// frame, and reads only their heads.
type frames struct {
	skip int // bytes to the next head: of a payload, or of the preface
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

// preface is the length of the text with which a client begins.
const preface = 24

// feed takes the bytes that passed and calls tell for each head in them.
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
