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

// A state is sent packed, since an answer of a long order would otherwise be little
// else: the checksum of its text, the text's length, and the text deflated. The
// checksum finds damage, not malice.
const packedHead = 8

// packers deflate; each is more than a megabyte.
var packers = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // fails at an unknown level only
	return w
}}

func packed(text []byte) ([]byte, error) {
	out := bytes.NewBuffer(make([]byte, 0, packedHead+len(text)/6))
	head := binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE(text))
	out.Write(binary.BigEndian.AppendUint32(head, uint32(len(text)))) //nolint:gosec // bounded by wire.MaxState
	w, _ := packers.Get().(*flate.Writer)
	defer packers.Put(w)
	w.Reset(out)
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// unpackedSize is how long the text of a state says that it is, or 0 where that cannot be.
func unpackedSize(state []byte) int {
	if len(state) < packedHead || len(state) > wire.MaxState {
		return 0
	}
	if n := int64(binary.BigEndian.Uint32(state[4:])); n <= int64(wire.MaxState) {
		return int(n)
	}
	return 0
}

// unpacked gives the text of a state; ok says that it is whole.
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
	// Nothing may come behind the text, neither in the stream nor after it.
	if n, err := r.Read(make([]byte, 1)); n != 0 || err != io.EOF || in.Len() != 0 {
		return nil, false
	}
	return text, binary.BigEndian.Uint32(state) == crc32.ChecksumIEEE(text)
}
