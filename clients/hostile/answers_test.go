package hostile

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var metre = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 1}}

// Answers that are not read, because their caller opens no window for them, pile up only
// to a limit per connection, even if callers may have any number of calls.
func TestAnswersWithoutRoom(t *testing.T) {
	r := serve(t, "--caller-calls", "0", "--calls", "0", "--waiting", "100000", "--caller-waiting", "0")
	defer onlooker(t, r)()
	set := sim.SetUp("roomless")
	for i := range 100 { // filled items: they take no search, and make answers long
		set.Order.Items = append(set.Order.Items, &ripwrightv1.Item{ItemId: fmt.Sprint("filled ", i), Width: &ripwrightv1.Item_WidthMm{WidthMm: 70},
			Required: metre, Made: metre})
	}
	raw, err := proto.Marshal(&ripwrightv1.SolveBoardRequest{Board: sim.Board(1, 1), Order: set.GetOrder(), SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: set.GetSaw()}})
	if err != nil {
		t.Fatal(err)
	}
	h := talk(t, badAddress, r.GRPC)
	if err := h.WriteSettings(http2.Setting{ID: http2.SettingInitialWindowSize, Val: 0}); err != nil {
		t.Fatal(err)
	}
	go h.alive()
	ask := func(from, to int) float64 {
		for i := from; i < to; i++ {
			h.mu.Lock()
			h.head(uint32(2*i+1), solve, false)
			err := h.WriteData(uint32(2*i+1), true, append(message(len(raw)), raw...))
			h.mu.Unlock()
			if err != nil {
				break // the service has closed the connection
			}
		}
		return peak(t, r)
	}
	calls := 6000
	if every {
		calls = 12_000
	}
	early, late := ask(0, 2000), ask(2000, calls)
	t.Logf("%.1f MB after 2,000 calls, %.1f MB after %d", early, late, calls)
	// The answers alone would be 10 kB each. When garbage is collected makes a difference of
	// some 20 MB.
	if late > early+float64(calls-2000)/130 {
		t.Error("answers accumulate in memory")
	}
	honest(t, r)
}

// Unread answers count as calls, and as their caller's memory, until they have left, over
// any number of connections. Once the connections are gone the share is free again.
func TestAnswersNotTaken(t *testing.T) {
	const share, connections, streams = 64, 4, 250
	t.Setenv("GOMEMLIMIT", "460MiB")
	r := serve(t, "--caller-calls", fmt.Sprint(share), "--waiting", "100000", "--caller-waiting", "0")
	set := sim.SetUp("slow")
	for i := range 450 {
		set.Order.Items = append(set.Order.Items, &ripwrightv1.Item{ItemId: fmt.Sprint(strings.Repeat("f", 120), i), Width: &ripwrightv1.Item_WidthMm{WidthMm: 70},
			Required: metre, Made: metre})
	}
	raw, err := proto.Marshal(&ripwrightv1.SolveBoardRequest{Board: sim.Board(1, 1), Order: set.GetOrder(), SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: set.GetSaw()}})
	if err != nil {
		t.Fatal(err)
	}
	defer onlooker(t, r)()
	before := peak(t, r)
	var all []*talker
	refused := 0
	for k := range connections {
		h := talk(t, badAddress, r.GRPC)
		all = append(all, h)
		here, want := 0, streams
		if k == 0 {
			want -= share
		}
		if err := h.WriteSettings(http2.Setting{ID: http2.SettingInitialWindowSize, Val: 0}); err != nil {
			t.Fatal(err)
		}
		for i := range uint32(streams) {
			id := 2*i + 1
			h.head(id, solve, false)
			for part := append(message(len(raw)), raw...); len(part) > 0; {
				n := min(len(part), 16<<10)
				if h.WriteData(id, n == len(part), part[:n]) != nil {
					break
				}
				part = part[n:]
			}
			if i%50 == 49 { // by now whatever could be answered is
				wait := 300 * time.Millisecond
				if i == streams-1 { // the rest of them, on a slow machine
					wait = time.Minute
				}
				here += h.refusals(want-here, wait)
			}
		}
		refused += here
	}
	if least := connections*streams - share; refused < least {
		t.Errorf("%d of %d calls refused, want at least %d", refused, connections*streams, least)
	}
	mb := peak(t, r)
	t.Logf("%d of %d calls refused, %.0f MB, before %.0f MB", refused, connections*streams, mb, before)
	if mb > before+150 {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
	honest(t, r)
	for _, h := range all {
		_ = h.Close()
	}
	for end := time.Now().Add(2 * time.Minute); ; time.Sleep(50 * time.Millisecond) {
		h := talk(t, badAddress, r.GRPC)
		h.head(1, solve, true)
		got := h.statusOf(1)
		_ = h.Close()
		if got == "3" { // the request was read
			return
		}
		if time.Now().After(end) {
			t.Fatalf("the share was not freed: %s", got)
		}
	}
}

// Requests that come in parts and never whole, within the share of calls, are ended once
// there is no room for them; the caller whose requests they are loses them, not others.
func TestRequestsThatNeverEnd(t *testing.T) {
	t.Setenv("GOMEMLIMIT", "200MiB") // of which 50 are for requests
	r := serve(t, "--caller-calls", "64")
	defer onlooker(t, r)()
	before := peak(t, r)
	part := make([]byte, 16<<10)
	for range 2 {
		h := talk(t, badAddress, r.GRPC)
		go h.alive()
		for i := range uint32(64) {
			h.mu.Lock()
			h.head(2*i+1, solve, false)
			_ = h.WriteData(2*i+1, false, message(4<<20))
			h.mu.Unlock()
			for range 255 {
				_ = h.SetWriteDeadline(time.Now().Add(2 * time.Second))
				if h.send(2*i+1, part) != nil {
					break
				}
			}
		}
	}
	honest(t, r)
	mb := peak(t, r)
	t.Logf("%.0f MB, before %.0f MB", mb, before)
	if mb > 230 { // all that was sent would be 512 MB, one caller's share of calls 256 MB; the collector keeps to 210
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
}
