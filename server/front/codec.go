package front

import (
	"errors"
	"io"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/refuse"
)

// codec reads and writes JSON with the schema's own field names, which error
// details use too; lowerCamelCase is read as well. Fields that the schema does
// not know are refused: a misspelt limit must not silently be no limit.
type codec struct {
	runtime.JSONPb
}

func newCodec() *codec {
	return &codec{runtime.JSONPb{
		MarshalOptions:   protojson.MarshalOptions{UseProtoNames: true, EmitDefaultValues: true},
		UnmarshalOptions: protojson.UnmarshalOptions{DiscardUnknown: false},
	}}
}

// NewDecoder reads one whole body.
func (c *codec) NewDecoder(r io.Reader) runtime.Decoder {
	return runtime.DecoderFunc(func(v any) error {
		m, ok := v.(proto.Message)
		if !ok {
			return errors.New("not a message")
		}
		raw, err := io.ReadAll(r)
		if err == nil {
			if len(raw) == 0 {
				raw = []byte("{}") // the service says what is missing
			}
			if err = c.UnmarshalOptions.Unmarshal(raw, m); err != nil {
				err = refuse.Faults(diagnose(raw, m.ProtoReflect().Descriptor(), err))
			}
		}
		// The generated handlers keep only the text of a decoder's error, so the
		// status itself is left with the body, where onError finds it.
		if b, ok := r.(*body); ok {
			b.err = err
		}
		return err
	})
}
