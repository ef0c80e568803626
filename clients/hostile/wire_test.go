package hostile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// program is the service under test; SERVICE names one to compare with.
var program = sync.OnceValues(func() (string, error) {
	if named := os.Getenv("SERVICE"); named != "" {
		return named, nil
	}
	dir, err := os.MkdirTemp("", "hostile")
	if err != nil {
		return "", err
	}
	return replicas.Build(dir)
})

// built is another program of this module, for one test.
func built(t *testing.T, source string) string {
	t.Helper()
	p, err := replicas.Program(t.TempDir(), source)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// serve runs the service for one test. Its collector runs at Go's default of 100 per
// cent, so that resident memory shows what is held: by default the service lets garbage
// accumulate.
func serve(t *testing.T, args ...string) *replicas.Replica {
	t.Helper()
	t.Setenv("GOGC", "100")
	p, err := program()
	if err != nil {
		t.Fatal(err)
	}
	r, err := replicas.Launch(p, args...)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(r.Kill)
	return r
}

// peak is the peak memory of a process, in MB.
func peak(t *testing.T, r *replicas.Replica) float64 {
	t.Helper()
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", r.PID()))
	if err != nil {
		t.Skip("/proc is missing")
	}
	_, after, _ := strings.Cut(string(raw), "VmHWM:")
	kb, err := strconv.ParseFloat(strings.Fields(after)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return kb / 1000
}

// from dials as another machine would: all of 127.0.0.0/8 is loopback.
func from(t *testing.T, address, to string) net.Conn {
	t.Helper()
	d := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}, Timeout: time.Minute}
	c, err := d.Dial("tcp", to)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// honest checks that another caller is served meanwhile, over both protocols.
func honest(t *testing.T, r *replicas.Replica) {
	t.Helper()
	h := talk(t, "127.0.0.9", r.GRPC)
	h.head(1, solve, true)
	if got := h.statusOf(1); got != "3" { // INVALID_ARGUMENT: the call is empty, but was read
		t.Errorf("a well-behaved gRPC caller got status %s", got)
	}
	web := &http.Client{Transport: &http.Transport{DialContext: (&net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP("127.0.0.9")}}).DialContext}, Timeout: time.Minute}
	defer web.CloseIdleConnections()
	answer, err := web.Post("http://"+r.HTTP+"/v1/boards:solve", "application/json", strings.NewReader(`{"saw_name": "heron", "board": {"length_mm": 2000, "stations": [{"far_mm": 200}]}, "order": {"items": [{"item_id": "a", "width_mm": 60, "value": 1}]}}`))
	if err != nil {
		t.Errorf("a well-behaved JSON caller: %v", err)
		return
	}
	_ = answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("a well-behaved JSON caller got %s", answer.Status)
	}
}

const (
	solve = "/ripwright.v1.RipService/SolveBoard"
	line  = "/ripwright.v1.RipService/RunLine"
)

// talker speaks HTTP/2 by hand, and so can do what no library would.
type talker struct {
	t *testing.T
	net.Conn
	*http2.Framer
	mu    sync.Mutex // held to write, which alive does too
	block bytes.Buffer
	code  *hpack.Encoder
	seen  map[uint32]string // statuses by stream
}

func talk(t *testing.T, address, to string) *talker {
	t.Helper()
	c := from(t, address, to)
	h := &talker{t: t, Conn: c, Framer: http2.NewFramer(c, c), seen: map[uint32]string{}}
	h.code = hpack.NewEncoder(&h.block)
	h.ReadMetaHeaders = hpack.NewDecoder(4096, nil)
	if _, err := c.Write([]byte(http2.ClientPreface)); err != nil {
		t.Fatal(err)
	}
	if err := h.WriteSettings(); err != nil {
		t.Fatal(err)
	}
	return h
}

// head opens a stream; whole sends an empty message and ends it.
func (h *talker) head(id uint32, path string, whole bool, more ...hpack.HeaderField) {
	h.block.Reset()
	for _, f := range append([]hpack.HeaderField{{Name: ":method", Value: "POST"}, {Name: ":scheme", Value: "http"}, {Name: ":path", Value: path},
		{Name: ":authority", Value: "x"}, {Name: "content-type", Value: "application/grpc"}, {Name: "te", Value: "trailers"}}, more...) {
		_ = h.code.WriteField(f) // into memory
	}
	h.opens(id, h.block.Bytes(), whole)
}

// opens opens a stream with headers that are already encoded, as the first of a
// connection.
func (h *talker) opens(id uint32, block []byte, whole bool) {
	first := true
	for len(block) > 0 || first {
		part := block[:min(len(block), 16<<10)]
		block = block[len(part):]
		var err error
		if first {
			err = h.WriteHeaders(http2.HeadersFrameParam{StreamID: id, BlockFragment: part, EndHeaders: len(block) == 0})
		} else {
			err = h.WriteContinuation(id, len(block) == 0, part)
		}
		if first = false; err != nil {
			return // the service has closed the connection
		}
	}
	if whole {
		_ = h.WriteData(id, true, message(0)) // as above
	}
}

// message is the head of a message that announces size bytes.
func message(size int) []byte {
	return binary.BigEndian.AppendUint32([]byte{0}, uint32(size))
}

// alive answers pings, and opens no window for anything else.
func (h *talker) alive() {
	for {
		f, err := h.ReadFrame()
		if err != nil {
			return
		}
		if p, ok := f.(*http2.PingFrame); ok && !p.IsAck() {
			h.mu.Lock()
			_ = h.WritePing(true, p.Data) // the next read reports it
			h.mu.Unlock()
		}
	}
}

// send writes a part of a message, once other writers are done.
func (h *talker) send(id uint32, part []byte) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.WriteData(id, false, part)
}

// statusOf reads until a stream ends and gives its gRPC status, or why there is none.
func (h *talker) statusOf(id uint32) string {
	_ = h.SetReadDeadline(time.Now().Add(2 * time.Minute)) // or it might wait forever
	for h.seen[id] == "" {
		f, err := h.ReadFrame()
		if err != nil {
			return err.Error()
		}
		switch f := f.(type) {
		case *http2.MetaHeadersFrame:
			for _, field := range f.Fields {
				if field.Name == "grpc-status" {
					h.seen[f.StreamID] = field.Value
				}
			}
		case *http2.RSTStreamFrame:
			if h.seen[f.StreamID] == "" {
				h.seen[f.StreamID] = f.ErrCode.String()
			}
		case *http2.PingFrame:
			if !f.IsAck() {
				_ = h.WritePing(true, f.Data) // the next read reports it
			}
		}
	}
	return h.seen[id]
}

// refusals reads until enough calls were told to try again, or nothing came for a while,
// and gives their number.
func (h *talker) refusals(enough int, wait time.Duration) (n int) {
	for n < enough {
		_ = h.SetReadDeadline(time.Now().Add(wait))
		f, err := h.ReadFrame()
		if err != nil {
			return n
		}
		switch f := f.(type) {
		case *http2.MetaHeadersFrame:
			for _, field := range f.Fields {
				if field.Name == "grpc-status" && field.Value == "8" {
					n++
				}
			}
		case *http2.PingFrame:
			if !f.IsAck() {
				_ = h.WritePing(true, f.Data) // the next read reports it
			}
		}
	}
	return n
}
