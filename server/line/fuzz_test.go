package line

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

// FuzzState resumes from states that were tampered with, under a correct checksum, and
// continues with them: a client that forges one may get wrong sums of its own, but causes
// no panic, and metrics only rise.
func FuzzState(f *testing.F) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		f.Fatal(err)
	}
	m := metrics.New(time.Now)
	s := New(Config{Saws: saws, Watch: m, Now: time.Now, Closing: context.Background(),
		Planner: behind(saws, m), Solver: service.New(saws, service.Config{Solves: 2, Waiting: 8, Longest: 100 * time.Millisecond}, m, time.Now)})
	messages := func(texts ...string) (all []*ripwrightv1.RunLineRequest) {
		for _, text := range texts {
			r := &ripwrightv1.RunLineRequest{}
			if err := protojson.Unmarshal([]byte(text), r); err != nil {
				f.Fatal(err)
			}
			all = append(all, r)
		}
		return all
	}
	for _, first := range []string{setUp, planned, strings.Replace(ofBays(`"bays": 2, "change_s": 20, "measure_every_boards": 1`, `"price_per_saw_hour": 60,`), `"saw_name": "heron"`, paced, 1)} {
		begin := messages(first, board, board, asPlan+`2}}`)
		begin[0].Sequence = 1
		at, _, err := s.open(f.Context(), nil, begin[0])
		if err != nil {
			f.Fatal(err)
		}
		for i, r := range begin[1:] {
			r.Sequence = int32(i + 2)
			answer, err := at.take(f.Context(), message{request: r, received: time.Now()})
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(textOf(answer.GetState())))
		}
		at.close()
	}
	then := messages(board, asPlan+`3}}`, `{"order_change": {"order": `+items+`}}`, `{"end": {}}`)
	f.Fuzz(func(t *testing.T, text string) {
		state := summed([]byte(text))
		at, answer, err := s.open(t.Context(), nil, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: state}}})
		if err != nil {
			if c := status.Code(err); c != codes.InvalidArgument && c != codes.FailedPrecondition {
				t.Fatal(err)
			}
			return
		}
		defer at.close()
		for _, r := range then {
			r.Sequence = answer.GetSequence() + 1
			if answer, err = at.take(t.Context(), message{request: r, received: time.Now()}); err != nil {
				if c := status.Code(err); c != codes.FailedPrecondition { // the last number there is
					t.Fatal(err)
				}
				return
			}
			var k kept
			if err := json.Unmarshal(textOf(answer.GetState()), &k); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// FuzzConfirm sends ConfirmCut every message that can be read: it is answered with a
// yield of 0 to 1, or refused by field.
func FuzzConfirm(f *testing.F) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		f.Fatal(err)
	}
	m := metrics.New(time.Now)
	s := New(Config{Saws: saws, Watch: m, Now: time.Now})
	f.Add(`{"confirmation_id": "c", "saw_name": "heron", "outcome": "CUT_OUTCOME_AS_MEASURED", "order": ` + items + `,
		"board": {"length_mm": 2400, "stations": [{"far_mm": 240}]}, "strips": [{"item_id": "stile", "width_mm": 66.6, "stretches": [{"length_mm": 2400}]}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		r := &ripwrightv1.ConfirmCutRequest{}
		if protojson.Unmarshal([]byte(text), r) != nil {
			return
		}
		a, err := s.ConfirmCut(t.Context(), r)
		switch status.Code(err) {
		case codes.InvalidArgument, codes.NotFound:
		case codes.OK:
			if y := a.GetYieldRatio(); !(y >= 0 && y <= 1) || len(a.GetFills()) != len(r.GetOrder().GetItems()) {
				t.Error(a)
			}
		default:
			t.Error(err)
		}
	})
}
