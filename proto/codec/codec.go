// Package codec reads and writes the messages of gRPC calls. A process that calls
// Register, server or client, uses it in place of gRPC's own codec. The messages of
// RipService, which live lines wait for, have generated code (protoc-gen-go-vtproto) that
// takes less than half the time of reflection; other messages are handled as before. The
// bytes on the wire are the same.
//
// Two things differ. A string that is not valid UTF-8 is not refused here, where only the
// whole message could be: readers of the messages check it and name the field. And some
// bytes that no writer produces are accepted, as FuzzUnmarshal shows.
package codec

import (
	"fmt"
	"sync"

	"google.golang.org/grpc/encoding"
	standard "google.golang.org/grpc/encoding/proto"
	"google.golang.org/grpc/mem"
)

// own is the codec, on top of gRPC's: it is made before anybody can call Register.
var own = codec{encoding.GetCodecV2(standard.Name)}

// Register replaces gRPC's own codec for the whole process. gRPC keeps its codecs without
// a lock, so call it before the first connection is dialled or served. It may be called
// again.
func Register() { register() }

var register = sync.OnceFunc(func() { encoding.RegisterCodecV2(own) })

// message has generated code, as do all messages within it.
type message interface {
	SizeVT() int
	MarshalToSizedBufferVT([]byte) (int, error)
	UnmarshalVT([]byte) error
}

// Reader is passed to gRPC in place of a message by callers that decode for themselves.
type Reader interface {
	Read(data mem.BufferSlice) error
}

// Read reads a message as Server does.
func Read(data mem.BufferSlice, m any) error { return Server().Unmarshal(data, m) }

// codec leaves messages without generated code to the codec that it replaces.
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

// write fills raw, whose length is the size that m reports.
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
