// Package hostile makes abusive calls from an address of its own, and checks that others
// are still served and that memory stays bounded.
package hostile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/http2/hpack"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const badAddress = "127.0.0.66"

// Calls that never progress take the caller's own share and no more, however many there
// are and however long their deadlines.
func TestStreamFlood(t *testing.T) {
	const share, connections, streams = 16, 20, 200
	r := serve(t, "--caller-calls", fmt.Sprint(share))
	defer onlooker(t, r)()
	busy := 0
	for range connections {
		h := talk(t, badAddress, r.GRPC)
		for i := range uint32(streams) {
			h.head(2*i+1, solve, false, hpack.HeaderField{Name: "grpc-timeout", Value: "9999H"})
		}
		if got := h.statusOf(2*streams - 1); got == "8" { // RESOURCE_EXHAUSTED
			busy++
		}
	}
	if busy < connections {
		t.Errorf("on %d of %d connections the last call was refused", busy, connections)
	}
	honest(t, r)
	if mb := peak(t, r); mb > 100 {
		t.Errorf("%.0f MB", mb)
	}
}

// Refused calls with deadlines of years cost no memory in the long run.
func TestFloodOfRefused(t *testing.T) {
	if !every {
		t.Skip("takes 60,000 calls; make verify runs it")
	}
	r := serve(t, "--caller-calls", "1")
	h := talk(t, badAddress, r.GRPC)
	id := uint32(1)
	h.head(id, solve, false) // takes the share
	years := hpack.HeaderField{Name: "grpc-timeout", Value: "9999H"}
	id += 2
	h.head(id, solve, false, years)
	id += 2
	h.head(id, solve, false, years)
	coded := bytes.Clone(h.block.Bytes()) // from the second on they are the same
	ask := func(n int) float64 {
		for i := range n {
			id += 2
			h.opens(id, coded, false)
			if i%100 == 99 {
				h.statusOf(id)
			}
		}
		return peak(t, r)
	}
	before := ask(20_000)
	after := ask(40_000)
	t.Logf("%.1f MB after 20,000 refused calls, %.1f MB after 60,000", before, after)
	if after > before+8 { // keeping each would take 10 MB
		t.Error("refused calls accumulate in memory")
	}
	honest(t, r)
}

// Messages that stop before their end fill the caller's share of calls, each up to the
// longest message, and nothing more.
func TestHugeMessages(t *testing.T) {
	const share, body = 8, 1 << 20
	r := serve(t, "--caller-calls", fmt.Sprint(share), "--max-body", fmt.Sprint(body))
	defer onlooker(t, r)()
	before := peak(t, r)
	for range 2 {
		h := talk(t, badAddress, r.GRPC)
		go func() { _, _ = io.Copy(io.Discard, h.Conn) }() // reads, and otherwise ignores what it reads
		for i := range uint32(100) {
			h.head(2*i+1, solve, false)
			if h.WriteData(2*i+1, false, message(body)) != nil {
				break
			}
			for range body/16384 - 1 {
				if h.WriteData(2*i+1, false, make([]byte, 16384)) != nil {
					break
				}
			}
		}
	}
	honest(t, r)
	if mb := peak(t, r); mb > before+3*share*body/1e6+20 {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
	// A message announced as too long is refused before it comes.
	h := talk(t, "127.0.0.67", r.GRPC)
	h.head(1, solve, false)
	if err := h.WriteData(1, false, message(body+1)); err != nil {
		t.Fatal(err)
	}
	if got := h.statusOf(1); got != "8" {
		t.Errorf("a message that is too long got status %s", got)
	}
}

// Lines whose clients send boards and read nothing hold only what fits their windows.
func TestSlowReaders(t *testing.T) {
	const share = 16
	r := serve(t, "--caller-calls", fmt.Sprint(share))
	defer onlooker(t, r)()
	before := peak(t, r)
	board := &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: sim.Board(1, 1)}}
	for range 4 {
		h := talk(t, badAddress, r.GRPC)
		go h.alive()
		for i := range uint32(share / 4) {
			id := 2*i + 1
			h.head(id, line, false)
			sequence := int32(0)
			say := func(m *ripwrightv1.RunLineRequest) bool {
				sequence++
				m.Sequence = sequence
				raw, err := proto.Marshal(m)
				if err != nil {
					t.Fatal(err)
				}
				_ = h.SetWriteDeadline(time.Now().Add(2 * time.Second)) // the network is full
				return h.send(id, append(message(len(raw)), raw...)) == nil
			}
			set := sim.SetUp("slow")
			set.BoardsInFlight = proto.Int32(64)
			on := say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: set}})
			for n := 0; on && n < 2000; n++ {
				on = say(&ripwrightv1.RunLineRequest{Message: board})
			}
		}
	}
	honest(t, r)
	if mb := peak(t, r); mb > before+60 {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
}

// Each address has its own share of connections.
func TestConnectionFlood(t *testing.T) {
	r := serve(t, "--caller-connections", "8")
	defer onlooker(t, r)()
	refused := func(n int) bool {
		return strings.Contains(metrics(t, r.HTTP), fmt.Sprintf(`ripwright_turned_away_total{caller="address:%s",limit="caller_connections"} %d`+"\n", badAddress, n))
	}
	var all []net.Conn
	for i, to := range []string{r.GRPC, r.HTTP} { // both share one limit
		for range 60 {
			all = append(all, from(t, badAddress, to))
		}
		want := []int{52, 112}[i]
		for end := time.Now().Add(2 * time.Minute); !refused(want); time.Sleep(10 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("the count of refused connections does not reach %d", want)
			}
		}
	}
	// A refused connection is counted first and then closed.
	for end := time.Now().Add(2 * time.Minute); len(all) > 8 && time.Now().Before(end); {
		all = slices.DeleteFunc(all, func(c net.Conn) bool {
			_ = c.SetReadDeadline(time.Now().Add(20 * time.Millisecond))
			_, err := io.Copy(io.Discard, c)
			return !errors.Is(err, os.ErrDeadlineExceeded)
		})
	}
	if len(all) != 8 {
		t.Errorf("%d connections are open", len(all))
	}
	honest(t, r)
}

func metrics(t *testing.T, at string) string {
	t.Helper()
	answer, err := http.Get("http://" + at + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Excessive headers are refused, and no memory is kept for them.
func TestHeaderFlood(t *testing.T) {
	r := serve(t)
	defer onlooker(t, r)()
	before := peak(t, r)
	big := hpack.HeaderField{Name: "x", Value: strings.Repeat("x", 200_000), Sensitive: true}
	var coded []byte // once: encoding takes longer than refusing
	for range 50 {
		h := talk(t, badAddress, r.GRPC)
		if coded == nil {
			h.head(1, solve, true, big, big, big, big, big)
			coded = bytes.Clone(h.block.Bytes())
		} else {
			h.opens(1, coded, true)
		}
		if got := h.statusOf(1); got == "3" {
			t.Fatal("a megabyte of headers was read")
		}
		_ = h.Close()
	}
	c := from(t, badAddress, r.HTTP)
	if _, err := io.WriteString(c, "GET /readyz HTTP/1.1\r\nHost: x\r\nX: "+strings.Repeat("x", 30<<10)+"\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	answer := make([]byte, 12)
	if _, err := io.ReadFull(c, answer); err != nil || string(answer) != "HTTP/1.1 431" { // RFC 6585
		t.Errorf("%q %v", answer, err)
	}
	honest(t, r)
	if mb := peak(t, r); mb > before+20 {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
}

// A client that connects and then sends nothing, or a byte now and then, is disconnected
// after ten seconds, or five over HTTP, allowing for a slow machine.
func TestSilentConnections(t *testing.T) {
	r := serve(t)
	const within = time.Minute
	for name, c := range map[string]struct{ to, says string }{
		"gRPC":       {r.GRPC, ""},
		"HTTP":       {r.HTTP, "GET / HTTP/1.1\r\nHost: "},
		"HTTP empty": {r.HTTP, ""},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			conn := from(t, badAddress, c.to)
			_, _ = io.WriteString(conn, c.says) // a read will report it
			go func() {
				for c.says != "" {
					if _, err := io.WriteString(conn, "x"); err != nil {
						return
					}
					time.Sleep(500 * time.Millisecond)
				}
			}()
			_ = conn.SetReadDeadline(time.Now().Add(within))
			if _, err := io.Copy(io.Discard, conn); err != nil && strings.Contains(err.Error(), "timeout") {
				t.Errorf("still connected after %v", within)
			}
		})
	}
}
