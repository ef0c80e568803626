package hostile

import (
	"fmt"
	"testing"

	"golang.org/x/net/http2"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var metre = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 1}}

// Answers that nobody takes, because their caller gives them no room, pile up to a
// number on each connection, even where callers may have any number of calls.
func TestAnswersWithoutRoom(t *testing.T) {
	r := serve(t, "--caller-calls", "0", "--calls", "0", "--waiting", "100000", "--caller-waiting", "0")
	set := sim.SetUp("roomless")
	for i := range 100 { // filled: they cost no search, and make answers long
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
				break // the service has had enough
			}
		}
		return peak(t, r)
	}
	early, late := ask(0, 2000), ask(2000, 12_000)
	t.Logf("%.1f MB after 2,000 calls, %.1f MB after 12,000", early, late)
	if late > early+40 { // the answers alone would be 100 MB
		t.Error("answers pile up")
	}
	honest(t, r)
}
