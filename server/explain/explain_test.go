package explain

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"
	spb "google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/protobuf/proto"
)

// sink is a connection that keeps what is written.
type sink struct {
	net.Conn
	kept bytes.Buffer
}

func (s *sink) Write(p []byte) (int, error) { return s.kept.Write(p) }

// sender writes as a server does, with a table of headers.
type sender struct {
	out    bytes.Buffer
	fr     *http2.Framer
	block  bytes.Buffer
	encode *hpack.Encoder
}

func newSender() *sender {
	s := &sender{}
	s.fr = http2.NewFramer(&s.out, nil)
	s.encode = hpack.NewEncoder(&s.block)
	return s
}

func (s *sender) headers(stream uint32, end bool, piece int, fields ...string) {
	s.block.Reset()
	for i := 0; i < len(fields); i += 2 {
		_ = s.encode.WriteField(hpack.HeaderField{Name: fields[i], Value: fields[i+1]})
	}
	for first, rest := true, s.block.Bytes(); first || len(rest) > 0; first = false {
		n := min(len(rest), piece)
		if first {
			_ = s.fr.WriteHeaders(http2.HeadersFrameParam{StreamID: stream, BlockFragment: rest[:n], EndHeaders: n == len(rest), EndStream: end})
		} else {
			_ = s.fr.WriteContinuation(stream, n == len(rest), rest[:n])
		}
		rest = rest[n:]
	}
}

// heard lists what a receiver makes of the bytes, one line for each frame.
func heard(t *testing.T, raw []byte) (all []string) {
	t.Helper()
	fr := http2.NewFramer(nil, bytes.NewReader(raw))
	fr.ReadMetaHeaders = hpack.NewDecoder(table, nil)
	for {
		f, err := fr.ReadFrame()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err, all)
		}
		switch f := f.(type) {
		case *http2.MetaHeadersFrame:
			line := fmt.Sprintf("%d %v", f.StreamID, f.StreamEnded())
			for _, h := range f.Fields {
				line += fmt.Sprintf(" %s=%s", h.Name, h.Value)
			}
			all = append(all, line)
		case *http2.DataFrame:
			all = append(all, fmt.Sprintf("%d data %q", f.StreamID, f.Data()))
		default:
			all = append(all, f.Header().String())
		}
	}
}

// without leaves out the details that were added.
func without(lines []string) (all []string, added int) {
	for _, l := range lines {
		if i := strings.Index(l, " "+keyDetails+"="); i >= 0 && !strings.Contains(l, keyDetails+"=theirs") {
			l = l[:i]
			added++
		}
		all = append(all, l)
	}
	return all, added
}

// However the bytes are split into writes, the receiver gets all of them, with the
// details that a status lacked and nothing else.
func TestNothingElseChanges(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 1))
		s, want := newSender(), 0
		_ = s.fr.WriteSettings()
		for stream := uint32(1); stream < 80; stream += 2 {
			piece := []int{16 << 10, 16 << 10, 1 + r.IntN(40)}[r.IntN(3)]
			if r.IntN(2) == 0 {
				s.headers(stream, false, piece, ":status", "200", "content-type", "application/grpc", "x-request-id", fmt.Sprint(r.IntN(9)))
				_ = s.fr.WriteData(stream, false, make([]byte, r.IntN(300)))
			}
			status := r.IntN(17)
			fields := []string{"grpc-status", fmt.Sprint(status), "grpc-message", strings.Repeat("%E2%82%AC ", r.IntN(4)*r.IntN(400))}
			if r.IntN(3) == 0 {
				fields = append(fields, keyDetails, "theirs")
			} else if status != 0 {
				want++
			}
			s.headers(stream, true, piece, fields...)
			if r.IntN(4) == 0 {
				_ = s.fr.WriteRSTStream(stream, http2.ErrCodeNo)
			}
			if r.IntN(8) == 0 {
				_ = s.fr.WritePing(false, [8]byte{})
			}
		}
		raw, to := s.out.Bytes(), &sink{}
		c := newConn(to)
		for rest := raw; len(rest) > 0; {
			n := min(len(rest), 1+r.IntN([]int{3, 30, 3000, 1 << 20}[r.IntN(4)]))
			written := slices.Clone(rest[:n])
			if got, err := c.Write(written); got != n || err != nil {
				t.Fatal(got, err)
			}
			clear(written) // gRPC uses its buffer again
			rest = rest[n:]
		}
		got, added := without(heard(t, to.kept.Bytes()))
		if want != added || c.lost || !slices.Equal(got, heard(t, raw)) {
			t.Fatalf("seed %d: %d details, want %d; missing %v", seed, added, want, c.lost)
		}
	}
}

// The details repeat the status, whose message is percent-encoded (gRPC over HTTP/2).
func TestDetailsRepeatTheStatus(t *testing.T) {
	for says, want := range map[string]string{"a %E2%82%AC": "a €", "100%": "100%", strings.Repeat("y", 900): strings.Repeat("y", mostSays) + "..."} {
		s, to := newSender(), &sink{}
		s.headers(1, true, 16<<10, ":status", "200", "grpc-status", "8", "grpc-message", says)
		_, _ = newConn(to).Write(s.out.Bytes())
		line := heard(t, to.kept.Bytes())[0]
		raw, err := base64.RawStdEncoding.DecodeString(line[strings.Index(line, keyDetails)+len(keyDetails)+1:])
		var got spb.Status
		if err != nil || proto.Unmarshal(raw, &got) != nil || got.Code != 8 || got.Message != want || len(got.Details) != 1 {
			t.Errorf("%q: %v %v", says, &got, err)
		}
	}
}

// Bytes that cannot be read pass unchanged.
func TestUnreadablePasses(t *testing.T) {
	to := &sink{}
	raw := append([]byte{0, 0, 1, byte(http2.FrameHeaders), byte(http2.FlagHeadersEndHeaders | http2.FlagHeadersEndStream), 0, 0, 0, 1, 0xff}, "and more"...)
	c := newConn(to)
	for range 3 {
		if _, err := c.Write(raw); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(to.kept.Bytes(), bytes.Repeat(raw, 3)) {
		t.Errorf("%q", to.kept.Bytes())
	}
}

// BenchmarkAnswer measures the frames of an answer.
func BenchmarkAnswer(b *testing.B) {
	s := newSender()
	answer := func() []byte {
		s.out.Reset()
		s.headers(1, false, 16<<10, ":status", "200", "content-type", "application/grpc")
		_ = s.fr.WriteData(1, false, make([]byte, 800))
		s.headers(1, true, 16<<10, "grpc-status", "0", "grpc-message", "")
		return slices.Clone(s.out.Bytes())
	}
	to := &sink{}
	c := newConn(to)
	_, _ = c.Write(answer()) // the first fills the table
	later := answer()
	for b.Loop() {
		to.kept.Reset()
		_, _ = c.Write(later)
	}
}
