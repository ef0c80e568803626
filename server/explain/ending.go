package explain

import (
	"bytes"
	"encoding/base64"
	"net/url"
	"strconv"

	"golang.org/x/net/http2/hpack"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/refuse"
)

// The headers by which a gRPC call ends, as its protocol names them.
const (
	keyStatus  = "grpc-status"
	keyMessage = "grpc-message"
	keyDetails = "grpc-status-details-bin"
)

// ending is how a call ends.
type ending struct {
	code     codes.Code
	says     string
	detailed bool
}

func (e *ending) add(f hpack.HeaderField) {
	switch f.Name {
	case keyStatus:
		if n, err := strconv.ParseUint(f.Value, 10, 32); err == nil {
			e.code = codes.Code(n)
		}
	case keyMessage:
		e.says = f.Value
	case keyDetails:
		e.detailed = true
	}
}

// mostSays bounds the quoted part of a message, which may repeat a header.
const mostSays = 240

// details gives the header that explains an ending; nil if none is missing. It adds
// nothing to the table of headers at the other end, on which gRPC relies.
func (e *ending) details() []byte {
	if e.code == codes.OK || e.detailed {
		return nil
	}
	says := e.says
	if s, err := url.PathUnescape(says); err == nil { // percent-encoded, as the protocol requires
		says = s
	}
	if len(says) > mostSays {
		says = says[:mostSays] + "..."
	}
	raw, err := proto.Marshal(refuse.ByTransport(status.New(e.code, says)).Proto())
	if err != nil {
		return nil
	}
	var b bytes.Buffer
	_ = hpack.NewEncoder(&b).WriteField(hpack.HeaderField{Name: keyDetails, Value: base64.RawStdEncoding.EncodeToString(raw), Sensitive: true}) // a buffer takes all
	return b.Bytes()
}
