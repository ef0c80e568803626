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
	"github.com/ripwright/ripwright/server/intake"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// codec reads and writes JSON with the schema's own field names, which error details use
// too; lowerCamelCase is also read. Unknown fields are refused: a misspelt limit must not
// silently be no limit.
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
		// The generated handlers keep only the text of a decoder's error, so the error
		// itself is left with the body, where onError finds it.
		if b.err = wrongMedia; b.json {
			b.err = decodeFrom(b, m)
		}
		return b.err
	})
}

func decodeFrom(r io.Reader, m proto.Message) error {
	raw, err := whole(r)
	b, counted := r.(*body)
	if counted {
		b.came.at = time.Now()
	}
	var big *http.MaxBytesError
	switch {
	case errors.Is(err, errNoRoom):
		return b.full()
	case errors.As(err, &big):
		return tooLarge(big.Limit)
	case err != nil:
		return refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_MALFORMED_REQUEST, fault.List{{Path: "body", Says: "ends before its announced length; send it whole"}})
	}
	if counted {
		leave, err := b.gate.Desk.Enter(b.ctx, len(raw))
		if err != nil {
			return err
		}
		defer leave()
		b.came.at = time.Now() // limits do not count the wait
		// Once as it is read here, once as protobuf on its way to the service, which
		// counts for itself.
		size, wrong := b.gate.Limits.JSON(raw, m.ProtoReflect().Descriptor())
		switch {
		case len(wrong) > 0:
			return intake.Faults(wrong)
		case b.call != nil && !b.call.account.Take(size+int64(len(raw))):
			return b.full()
		}
	}
	return Decode(raw, m)
}

// errNoRoom ends the reading of a body for which there is no room.
var errNoRoom = errors.New("there is no room")

func (b *body) full() error {
	if b.gate.Watch != nil {
		b.gate.Watch.TurnedAway(b.call.account.Caller(), "memory")
	}
	return intake.Full()
}

// whole reads a body and counts each part before memory is allocated for it.
func whole(r io.Reader) ([]byte, error) {
	b, ok := r.(*body)
	if !ok || b.call == nil {
		return io.ReadAll(r)
	}
	const first = 4 << 10
	if !b.call.account.Take(first) {
		return nil, errNoRoom
	}
	raw := make([]byte, 0, first)
	for {
		if len(raw) == cap(raw) {
			// The old buffer and the new one exist together for a moment; what was
			// counted for the old one then covers the rounding of the next.
			more := int64(cap(raw))
			if !b.call.account.Take(2 * more) {
				return nil, errNoRoom
			}
			raw = append(make([]byte, 0, 2*more), raw...)
			b.call.account.Give(more)
		}
		n, err := b.Read(raw[len(raw):cap(raw)])
		if raw = raw[:len(raw)+n]; errors.Is(err, io.EOF) {
			return raw, nil
		} else if err != nil {
			return raw, err
		}
	}
}

// Decode reads the JSON of a request. Its error is the status that the caller gets, with
// every wrong field by its path.
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
