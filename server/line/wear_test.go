package line

import (
	"strings"
	"sync/atomic"
	"testing"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
)

// changing is a saw file whose one saw gets other blades.
type changing struct{ now atomic.Pointer[wire.Machine] }

func (c *changing) Find(name string) (*wire.Machine, bool) { return c.now.Load(), name == "heron" }

// Whoever changes the blades records it in the saw file or sends the saw again: a line
// under way counts the wear of its next boards under the new words, and of a board
// planned before under the old ones. Plans and fingerprints stay the same, and a resumed
// run continues with the saw's name.
func TestWearFollowsTheChange(t *testing.T) {
	file := &changing{}
	h := open(t, func(cfg *Config) {
		first, _ := cfg.Saws.Find("heron")
		file.now.Store(first)
		cfg.Saws = file
	})
	blades := func(words string) {
		m := proto.CloneOf(file.now.Load().Message)
		m.BladesChanged = words
		next := *file.now.Load()
		next.Message = m
		file.now.Store(&next)
	}
	blades("monday")
	s := h.stream(t)
	first := ready(s.say(setUp))
	plan := s.say(board).GetPlan()
	blades("tuesday")
	s.say(asPlan + `2}}`)
	again := s.say(board).GetPlan()
	s.say(asPlan + `4}}`)
	if plan.GetSawFingerprint() != again.GetSawFingerprint() || plan.GetArborFingerprint() != first.GetArborFingerprint() {
		t.Error("a change of blades changes a fingerprint")
	}
	written := proto.CloneOf(file.now.Load().Message)
	written.Name, written.BladesChanged = "kite", "first"
	state := s.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SawChange{SawChange: &ripwrightv1.SawChange{
		SawChoice: &ripwrightv1.SawChange_Saw{Saw: written}}}}).GetState()
	resumed := h.stream(t)
	resumed.resume(state)
	resumed.say(board)
	resumed.say(asPlan + `7}}`)
	var planned []string
	families, err := h.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range families {
		for _, m := range f.GetMetric() {
			if f.GetName() == "ripwright_blade_cut_length_meters_total" && m.GetLabel()[0].GetValue() == "1" {
				planned = append(planned, m.GetLabel()[2].GetValue()+" "+m.GetLabel()[1].GetValue())
				if m.GetCounter().GetValue() == 0 {
					t.Errorf("no sawing is counted for %v", m.GetLabel())
				}
			}
		}
	}
	if got := strings.Join(planned, ", "); got != "kite first, heron monday, heron tuesday" {
		t.Errorf("wear is counted by %s", got)
	}
	got, err := testutil.GatherAndCount(h.Registry, "ripwright_boards_cut_total")
	if err != nil || got != 14 {
		t.Errorf("%d series of cuts (%v), want those of two saws", got, err)
	}
}
