package hostile

import (
	"testing"

	"golang.org/x/net/http2"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Answers that nobody takes, because their caller gives them no room, pile up to a
// number on each connection, even where callers may have any number of calls.
func TestAnswersWithoutRoom(t *testing.T) {
	r := serve(t, "--caller-calls", "0", "--calls", "0", "--waiting", "100000", "--caller-waiting", "0")
	set := sim.SetUp("roomless")
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
				break // the service has had enough
			}
		}
		return peak(t, r)
	}
	early, late := ask(0, 2000), ask(2000, 12_000)
	if late > early+15 { // the answers alone would be 30 MB
		t.Errorf("%.1f MB after 2,000 calls, %.1f MB after 12,000", early, late)
	}
	honest(t, r)
}
