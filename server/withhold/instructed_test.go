package withhold

import (
	"math/rand/v2"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
)

// instructedJob is a job with instructions, solved.
func instructedJob(t *testing.T) (*wire.Job, func() *ripwrightv1.SolveBoardResponse) {
	t.Helper()
	ask := &ripwrightv1.SolveBoardRequest{}
	if err := protojson.Unmarshal([]byte(`{`+job+`, "instructions": {"forced": [{"item_id": "stile", "strips": 1}], "forbidden": ["door"], "fence": {}, "blades": [{"blade": 3}]}}`), ask); err != nil {
		t.Fatal(err)
	}
	j, err := wire.Solve(ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if err := Result(j, r); err != nil {
		t.Fatal(why(err))
	}
	m := j.Solved(r, 1)
	if err := Solved(j, r, m); err != nil || !m.GetInstructed().GetKept() || len(m.GetInstructed().GetEach()) != 4 {
		t.Fatal(why(err), m)
	}
	return j, func() *ripwrightv1.SolveBoardResponse { return j.Solved(r, 1) }
}

// Every change in the stated outcome of instructions is found.
func TestEveryFieldOfInstructions(t *testing.T) {
	j, write := instructedJob(t)
	r := j.Instructed().Outcome.Result
	d, found := rand.New(rand.NewPCG(1, 2)), 0
	for i := range leaves(write().GetInstructed().ProtoReflect(), "") {
		m := write()
		l := leaves(m.GetInstructed().ProtoReflect(), "")[i]
		before := proto.CloneOf(m)
		l.change(d)
		if strings.HasSuffix(l.path, ".path") || strings.HasSuffix(l.path, ".work") || proto.Equal(before, m) {
			continue
		}
		if Solved(j, r, m) == nil {
			t.Errorf("%s: the change is not found", l.path)
		}
		found++
	}
	if found < 15 {
		t.Errorf("only %d changed", found)
	}
}

// A plan that breaks the instructions but claims to keep them is withheld, and so is one
// that keeps them but claims not to.
func TestInstructionsNotKept(t *testing.T) {
	for what, lie := range map[string]func(*wire.Instructed){
		"kept":        func(n *wire.Instructed) { n.Outcome.Kept = false },
		"forced":      func(n *wire.Instructed) { n.By.Forced[0].Strips = 2 },
		"forbidden":   func(n *wire.Instructed) { n.By.Forbidden[0] = n.By.Forced[0].Item },
		"locked":      func(n *wire.Instructed) { n.By.Locks[0].Given = true },
		"count":       func(n *wire.Instructed) { n.Outcome.Made[0]++ },
		"another one": func(n *wire.Instructed) { n.Outcome.Each[1].Kept = false },
	} {
		j, _ := instructedJob(t)
		lie(j.Instructed())
		found := why(Result(j, j.Instructed().Outcome.Result))
		if len(found) == 0 || found[0].Kind != audit.Told {
			t.Errorf("%s: %v", what, found)
		}
	}
}
