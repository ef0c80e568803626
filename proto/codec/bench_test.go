package codec

import (
	"testing"

	"google.golang.org/grpc/encoding"
)

// BenchmarkBoard writes and reads a board's request with this codec and with gRPC's own.
func BenchmarkBoard(b *testing.B) {
	m := demo(b)[0]
	var ours encoding.CodecV2 = own
	for _, c := range []struct {
		name  string
		codec encoding.CodecV2
	}{{"own", ours}, {"standard", ours.(codec).CodecV2}} {
		b.Run("write/"+c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				raw, err := c.codec.Marshal(m)
				if err != nil {
					b.Fatal(err)
				}
				raw.Free()
			}
		})
		raw, err := c.codec.Marshal(m)
		if err != nil {
			b.Fatal(err)
		}
		b.Run("read/"+c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := c.codec.Unmarshal(raw, m.ProtoReflect().New().Interface()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
