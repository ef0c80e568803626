package line

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"io"
	"sync"

	"github.com/ripwright/ripwright/server/wire"
)

// A state is sent packed, since otherwise it would be most of a long order's answer: the
// checksum of its text, the text's length, and the text deflated. The checksum finds
// damage, not malice.
const packedHead = 8

// packers deflate; each takes more than a megabyte.
var packers = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // fails only for an unknown level
	return w
}}

// head is the common beginning of many states' texts, deflated once: a flushed stream
// ends on a whole byte, and what follows refers to nothing before it.
type head struct {
	deflated []byte
	sum      uint32
	size     int // of the text
}

// begun deflates the beginning of texts.
func begun(text []byte) (*head, error) {
	h := &head{sum: crc32.ChecksumIEEE(text), size: len(text)}
	if len(text) == 0 {
		return h, nil
	}
	out := bytes.NewBuffer(make([]byte, 0, len(text)/2))
	err := deflate(out, text, (*flate.Writer).Flush)
	h.deflated = out.Bytes()
	return h, err
}

// with packs the text that begins with the head and ends with rest.
func (h *head) with(rest []byte) ([]byte, error) {
	out := bytes.NewBuffer(make([]byte, 0, packedHead+len(h.deflated)+len(rest)/6))
	sum := binary.BigEndian.AppendUint32(nil, crc32.Update(h.sum, crc32.IEEETable, rest))
	out.Write(binary.BigEndian.AppendUint32(sum, uint32(h.size+len(rest)))) // bounded by wire.MaxState
	out.Write(h.deflated)
	err := deflate(out, rest, (*flate.Writer).Close)
	return out.Bytes(), err
}

func deflate(out *bytes.Buffer, text []byte, end func(*flate.Writer) error) error {
	w, _ := packers.Get().(*flate.Writer)
	defer packers.Put(w)
	w.Reset(out)
	if _, err := w.Write(text); err != nil {
		return err
	}
	return end(w)
}

// unpackedSize is the length that a state declares for its text; 0: it is impossible.
func unpackedSize(state []byte) int {
	if len(state) < packedHead || len(state) > wire.MaxState {
		return 0
	}
	if n := int64(binary.BigEndian.Uint32(state[4:])); n <= int64(wire.MaxState) {
		return int(n)
	}
	return 0
}

// unpacked gives the text of a state; ok: it is whole.
func unpacked(state []byte) (text []byte, ok bool) {
	size := unpackedSize(state)
	if size == 0 {
		return nil, false
	}
	in := bytes.NewReader(state[packedHead:])
	r := flate.NewReader(in)
	text = make([]byte, size)
	if _, err := io.ReadFull(r, text); err != nil {
		return nil, false
	}
	// Nothing may follow the text, neither in the stream nor after it.
	if n, err := r.Read(make([]byte, 1)); n != 0 || err != io.EOF || in.Len() != 0 {
		return nil, false
	}
	return text, binary.BigEndian.Uint32(state) == crc32.ChecksumIEEE(text)
}
