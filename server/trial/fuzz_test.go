package trial

import (
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

// direct gives a service without a server around it, so that a panic in it ends the
// fuzzing.
func direct(f *testing.F) *service.Service {
	f.Helper()
	saws, err := fleet.BuiltIn()
	if err != nil {
		f.Fatal(err)
	}
	return service.New(saws, service.Config{Solves: 1, Longest: time.Minute}, metrics.New(time.Now), time.Now)
}

// bodies are JSON requests to start from: the good ones, every faulty one of the tests
// here and some boards of the demo.
func bodies(f *testing.F) (all []string) {
	f.Helper()
	whole := `{` + base + `, "options": {"runners_up": 1, "work_limit": 20000}}`
	all = append(all, whole, strings.TrimSuffix(whole, "}")+setting+"}")
	for _, c := range wrongTogether {
		all = append(all, strings.Replace(whole, c.from, c.to, 1))
	}
	for _, c := range wrongBodies {
		if len(c.to) < 1000 {
			all = append(all, strings.Replace(whole, c.from, c.to, 1))
		}
	}
	boards, err := os.ReadFile("../../testdata/demo/boards.jsonl")
	if err != nil {
		f.Fatal(err)
	}
	order, err := os.ReadFile("../../testdata/demo/order.json")
	if err != nil {
		f.Fatal(err)
	}
	for i, board := range strings.Split(string(boards), "\n") {
		if board != "" && i%20 == 0 {
			all = append(all, `{"board":`+board+`,"saw_name":"heron","order":`+string(order)+`}`)
		}
	}
	return all
}

func solved(t *testing.T, s *service.Service, m *ripwrightv1.SolveBoardRequest) {
	t.Helper()
	m.Options = bounded(m.GetOptions())
	answer, err := s.SolveBoard(context.Background(), m)
	sound(t, answer, err)
	if err == nil {
		within(t, answer.GetProof(), m.GetOptions())
	}
}

func checked(t *testing.T, s *service.Service, m *ripwrightv1.CheckPlanRequest) {
	t.Helper()
	m.Options = bounded(m.GetOptions())
	answer, err := s.CheckPlan(context.Background(), m)
	sound(t, answer, err)
	if err == nil {
		within(t, answer.GetProof(), m.GetOptions())
	}
}

func FuzzSolveJSON(f *testing.F) {
	s := direct(f)
	for _, b := range bodies(f) {
		f.Add([]byte(b))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var m ripwrightv1.SolveBoardRequest
		if err := front.Decode(body, &m); err != nil {
			sound(t, nil, err)
			return
		}
		solved(t, s, &m)
	})
}

func FuzzCheckJSON(f *testing.F) {
	s := direct(f)
	for _, b := range bodies(f) {
		f.Add([]byte(b))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var m ripwrightv1.CheckPlanRequest
		if err := front.Decode(body, &m); err != nil {
			sound(t, nil, err)
			return
		}
		checked(t, s, &m)
	})
}

// seeds adds the bodies that can be read, as protobuf.
func seeds(f *testing.F, m proto.Message) {
	f.Helper()
	for _, b := range bodies(f) {
		if protojson.Unmarshal([]byte(b), m) != nil {
			continue
		}
		raw, err := proto.Marshal(m)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
}

func FuzzSolveProto(f *testing.F) {
	s := direct(f)
	seeds(f, &ripwrightv1.SolveBoardRequest{})
	f.Fuzz(func(t *testing.T, raw []byte) {
		var m ripwrightv1.SolveBoardRequest
		if proto.Unmarshal(raw, &m) == nil { // otherwise gRPC refuses it
			solved(t, s, &m)
		}
	})
}

func FuzzCheckProto(f *testing.F) {
	s := direct(f)
	seeds(f, &ripwrightv1.CheckPlanRequest{})
	f.Fuzz(func(t *testing.T, raw []byte) {
		var m ripwrightv1.CheckPlanRequest
		if proto.Unmarshal(raw, &m) == nil {
			checked(t, s, &m)
		}
	})
}

// Every drawing is an XML document with no content but our own.
func FuzzDrawProto(f *testing.F) {
	s := direct(f)
	seeds(f, goodDraw(f))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var m ripwrightv1.DrawPlanRequest
		if proto.Unmarshal(raw, &m) != nil {
			return
		}
		m.Options = bounded(m.GetOptions())
		answer, err := s.DrawPlan(context.Background(), &m)
		sound(t, answer, err)
		if err == nil {
			wellFormed(t, answer.GetSvg())
		}
	})
}

// A saw file is refused with the faulty line, or its saws are as valid as any that a
// request describes.
func FuzzSawFile(f *testing.F) {
	for _, path := range []string{"../../testdata/demo/saws.json", "../fleet/saws.json"} {
		file, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(file)
	}
	for _, file := range []string{"", "[]", "{}", "null", "[null]", `[{"name":"a"}]`, `[{"name":"a","blades":[{}]}]`} {
		f.Add([]byte(file))
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		saws, err := fleet.Parse("", file)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "line ") {
				t.Fatalf("does not name the field: %v", err)
			}
			return
		}
		for _, name := range saws.Names() {
			s, ok := saws.Find(name)
			if !ok || name == "" || len(s.Faults()) > 0 {
				t.Fatalf("%q: %v", name, s.Faults())
			}
		}
	})
}
