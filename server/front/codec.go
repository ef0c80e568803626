package front

import (
	"errors"
	"io"
	"net/http"
	"time"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
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
		b, ok := r.(*body)
		if !ok {
			return decodeFrom(r, m)
		}
		// The generated handlers keep only the text of a decoder's error, so the
		// error itself is left with the body, where onError finds it.
		if b.err = wrongMedia; b.json {
			b.err = decodeFrom(b, m)
		}
		return b.err
	})
}

func decodeFrom(r io.Reader, m proto.Message) error {
	raw, err := io.ReadAll(r)
	if b, ok := r.(*body); ok {
		b.came.at = time.Now()
	}
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &big):
		return tooLarge(big.Limit)
	case err != nil:
		return refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_MALFORMED_REQUEST, fault.List{{Path: "body", Says: "ends before its announced length; send it whole"}})
	}
	return Decode(raw, m)
}

// Decode reads the JSON of a request. Its error is the status that the caller
// gets, with every wrong field by its path.
func Decode(raw []byte, m proto.Message) error {
	if len(raw) == 0 {
		raw = []byte("{}") // the service says what is missing
	}
	if err := (protojson.UnmarshalOptions{}).Unmarshal(raw, m); err != nil {
		l := diagnose(raw, m.ProtoReflect().Descriptor(), err)
		reason := ripwrightv1.ErrorReason_ERROR_REASON_WRONG_FIELDS
		if l[0].Path == "body" {
			reason = ripwrightv1.ErrorReason_ERROR_REASON_MALFORMED_REQUEST
		}
		return refuse.For(reason, l)
	}
	return nil
}
