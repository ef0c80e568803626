package codec

import (
	"bytes"

	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/mem"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
)

// Server is the codec for a server that itself answers every request that arrived whole.
// For bytes that are no message of the call's type gRPC sends its own status, to which no
// interceptor can add. With this codec the request is passed on empty and marked;
// Malformed finds the mark, and the server refuses it. Messages of other packages, such
// as those of health checks, are left to gRPC.
func Server() encoding.CodecV2 { return server{own} }

type server struct{ encoding.CodecV2 }

// request is a message that calls of this schema take.
type request interface {
	proto.Message
	HasUnknownFields() bool
}

// mark is the number of the field that marks an unreadable request: the highest possible,
// which no schema will reach. A caller that sends it is refused as unreadable.
const (
	mark   = protowire.MaxValidNumber
	marked = "ripwright malformed: "
)

// mostSays bounds the description of the bytes.
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
