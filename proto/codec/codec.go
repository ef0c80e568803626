// Package codec reads and writes the messages of gRPC calls; a process that calls
// Register, a client's too, has it in place of gRPC's own. The messages of RipService, which live
// lines wait for, have code of their own (from protoc-gen-go-vtproto), which takes
// less than half as long as going by their descriptions; any other message goes as
// ever. What is on the wire is the same.
//
// What differs: a text that is not UTF-8 is not refused here, where only the whole
// message could be. Readers of the messages check it and name the field. And some
// bytes that no writer of messages writes are taken, as FuzzUnmarshal tells.
package codec

import (
	"fmt"
	"sync"

	"google.golang.org/grpc/encoding"
	standard "google.golang.org/grpc/encoding/proto"
	"google.golang.org/grpc/mem"
)

// own is the codec, with gRPC's beneath it: this is made before anybody can register.
var own = codec{encoding.GetCodecV2(standard.Name)}

// Register puts the codec in the place of gRPC's own for the whole process. gRPC keeps
// its codecs without a lock: call it before the first connection is dialled or served.
// It may be called again.
func Register() { register() }

var register = sync.OnceFunc(func() { encoding.RegisterCodecV2(own) })

// message has code of its own. So do all the messages within it.
type message interface {
	SizeVT() int
	MarshalToSizedBufferVT([]byte) (int, error)
	UnmarshalVT([]byte) error
}

// Reader is given to gRPC in place of a message by who reads for itself what came.
type Reader interface {
	Read(data mem.BufferSlice) error
}

// Read reads a message as Server does.
func Read(data mem.BufferSlice, m any) error { return Server().Unmarshal(data, m) }

// codec leaves messages without code of their own to the one that it replaces.
type codec struct{ encoding.CodecV2 }

// Marshal implements encoding.CodecV2.
func (c codec) Marshal(v any) (mem.BufferSlice, error) {
	m, ok := v.(message)
	if !ok {
		return c.CodecV2.Marshal(v)
	}
	size := m.SizeVT()
	if mem.IsBelowBufferPoolingThreshold(size) {
		raw := make([]byte, size)
		err := write(m, raw)
		return mem.BufferSlice{mem.SliceBuffer(raw)}, err
	}
	pool := mem.DefaultBufferPool()
	raw := pool.Get(size)
	if err := write(m, *raw); err != nil {
		pool.Put(raw)
		return nil, err
	}
	return mem.BufferSlice{mem.NewBuffer(raw, pool)}, nil
}

// write fills raw, which is as long as m says that it is.
func write(m message, raw []byte) error {
	n, err := m.MarshalToSizedBufferVT(raw)
	if err == nil && n != len(raw) {
		err = fmt.Errorf("%T: %d bytes of %d are written; was it changed meanwhile?", m, n, len(raw))
	}
	return err
}

// Unmarshal implements encoding.CodecV2.
func (c codec) Unmarshal(data mem.BufferSlice, v any) error {
	if r, ok := v.(Reader); ok {
		return r.Read(data)
	}
	m, ok := v.(message)
	if !ok {
		return c.CodecV2.Unmarshal(data, v)
	}
	raw := data.MaterializeToBuffer(mem.DefaultBufferPool())
	defer raw.Free()
	return m.UnmarshalVT(raw.ReadOnlyData())
}
