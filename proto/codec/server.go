package codec

import (
	"bytes"

	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/mem"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
)

// Server is the codec for a server that answers every request that came whole by
// itself. gRPC writes a status of its own for bytes that are no message of the
// call's type, and no interceptor can add to it. With this codec the request is
// handed on empty and marked; Malformed finds the mark, and who serves refuses it.
// Messages of other packages, as those of health checks, are left to gRPC.
func Server() encoding.CodecV2 { return server{own} }

type server struct{ encoding.CodecV2 }

// request is a message that calls of this schema take.
type request interface {
	proto.Message
	HasUnknownFields() bool
}

// mark is the field that a request which cannot be read has: the last there can be,
// which no schema will come to. Who sends it gets what other nonsense gets.
const (
	mark   = protowire.MaxValidNumber
	marked = "ripwright malformed: "
)

// mostSays bounds what is told about the bytes.
const mostSays = 240

// Unmarshal implements encoding.CodecV2.
func (s server) Unmarshal(data mem.BufferSlice, v any) error {
	err := s.CodecV2.Unmarshal(data, v)
	m, ok := v.(request)
	if err == nil || !ok {
		return err
	}
	says := err.Error()
	proto.Reset(m)
	m.ProtoReflect().SetUnknown(protowire.AppendString(
		protowire.AppendTag(nil, mark, protowire.BytesType), marked+says[:min(len(says), mostSays)]))
	return nil
}

// Malformed reports that a request could not be read, and why.
func Malformed(v any) (says string, yes bool) {
	m, ok := v.(request)
	if !ok || !m.HasUnknownFields() {
		return "", false
	}
	number, kind, n := protowire.ConsumeTag(m.ProtoReflect().GetUnknown())
	if n < 0 || number != mark || kind != protowire.BytesType {
		return "", false
	}
	text, n := protowire.ConsumeBytes(m.ProtoReflect().GetUnknown()[n:])
	if n < 0 {
		return "", false
	}
	rest, ok := bytes.CutPrefix(text, []byte(marked))
	return string(bytes.ToValidUTF8(rest, nil)), ok
}
