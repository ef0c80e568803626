package wire_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

// BenchmarkBoard decodes, reads, answers and encodes a board, without its search.
func BenchmarkBoard(b *testing.B) {
	ask, saws := demoBoard(b)
	in, err := proto.Marshal(ask)
	if err != nil {
		b.Fatal(err)
	}
	j, err := wire.Solve(ask, saws)
	if err != nil {
		b.Fatal(err)
	}
	r, err := rip.Solve(&j.Problem, j.Options)
	if err != nil {
		b.Fatal(err)
	}
	answer := j.Solved(r, time.Millisecond)
	for _, part := range []struct {
		name string
		work func() error
	}{
		{"decode", func() error { return proto.Unmarshal(in, &ripwrightv1.SolveBoardRequest{}) }},
		{"read", func() error { _, err := wire.Solve(ask, saws); return err }},
		{"solve", func() error { _, err := rip.Solve(&j.Problem, j.Options); return err }},
		{"answer", func() error { j.Solved(r, time.Millisecond); return nil }},
		{"encode", func() error { _, err := proto.Marshal(answer); return err }},
	} {
		b.Run(part.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := part.work(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// demoBoard is the first board of the demo with its order and one of its saws.
func demoBoard(b *testing.B) (*ripwrightv1.SolveBoardRequest, wire.Saws) {
	b.Helper()
	file := func(name string) []byte {
		text, err := os.ReadFile("../../testdata/demo/" + name)
		if err != nil {
			b.Fatal(err)
		}
		return text
	}
	ask := &ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{}, Order: &ripwrightv1.CutOrder{},
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "two fixed, two moving"}}
	first, _, _ := strings.Cut(string(file("boards.jsonl")), "\n")
	if err := protojson.Unmarshal([]byte(first), ask.Board); err != nil {
		b.Fatal(err)
	}
	if err := protojson.Unmarshal(file("order.json"), ask.Order); err != nil {
		b.Fatal(err)
	}
	saws, err := fleet.Parse("saws.json", file("saws.json"))
	if err != nil {
		b.Fatal(err)
	}
	return ask, saws
}
