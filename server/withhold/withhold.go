// Package withhold keeps back plans that fail their check. Everything that the solver
// states about a board passes solver/audit before it is sent, and what is sent is
// compared with what was checked. A plan that fails is never sent: its caller is told so,
// and the mill's people learn it from a log line, a counter and, if boards are recorded,
// the recording.
package withhold

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"go.uber.org/zap"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/rip"
)

// Message is the kind of difference between a plan and the message in which it is sent,
// in addition to those of package audit.
const Message audit.Kind = "message"

// Kinds lists all kinds of differences.
func Kinds() (all []string) {
	for _, k := range append(audit.Kinds(), Message) {
		all = append(all, string(k))
	}
	return all
}

// Error is the error of a withheld plan. Its text is for callers: it says nothing about
// how plans are made or checked.
type Error struct{ Differences []audit.Difference }

func (*Error) Error() string {
	return "the plan for this board failed the service's own check and was withheld; nothing is planned"
}

func of(found []audit.Difference) error {
	if len(found) == 0 {
		return nil
	}
	return &Error{found}
}

// Result checks the result of a search for a board. The error is an *Error.
func Result(j *wire.Job, r *rip.Result) error {
	found := bays(j, r)
	if n := j.Instructed(); n != nil {
		return of(append(found, told(j, n, r)...))
	}
	return of(append(found, audit.Result(&j.Problem, terms(j), r)...))
}

// bays checks that plans make nothing of items without a bay, and the plan by which they
// are measured.
func bays(j *wire.Job, r *rip.Result) (found []audit.Difference) {
	for i, p := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		if p == nil {
			continue // which the audit reports
		}
		for k := range p.Pockets {
			if slices.Contains(j.Idle, p.Pockets[k].Item) {
				found = append(found, audit.Difference{Kind: audit.Told, Plan: i, Says: fmt.Sprintf("makes item %d, which has no bay", p.Pockets[k].Item)})
			}
		}
	}
	if j.Free != nil && j.Free != r {
		found = append(found, audit.Result(&j.Problem, terms(j), j.Free)...)
	}
	return found
}

// Checked checks the score of a setting and the optimum given with it.
func Checked(j *wire.Job, c *rip.Checked, best *rip.Result) error {
	return of(audit.Checked(&j.Problem, terms(j), c, best))
}

// Given checks the score of a setting alone.
func Given(j *wire.Job, c *rip.Checked) error { return of(audit.Given(&j.Problem, c)) }

func terms(j *wire.Job) audit.Terms { return audit.Terms{Pace: j.Pace, Price: j.Price, Turns: j.Turns} }

// Watcher counts withheld plans, by kind.
type Watcher interface{ Withheld(kind string) }

// Recorder records requests whose plan was withheld.
type Recorder interface {
	Withheld(caller, call string, asked proto.Message, differences []string)
}

// Desk reports withheld plans.
type Desk struct {
	Log    *zap.Logger
	Watch  Watcher
	Record Recorder // nil: nothing is recorded
}

// Tell reports a plan withheld from a call with the request asked, which may not be
// changed afterwards. The log names the request by a digest, and quotes nothing of it.
func (d *Desk) Tell(ctx context.Context, call string, asked proto.Message, e *Error) {
	var says []string
	for _, f := range e.Differences {
		says = append(says, f.String())
	}
	d.Watch.Withheld(string(e.Differences[0].Kind))
	d.Log.Error("plan withheld", zap.String("call", call), zap.String("request_sha256", Digest(asked)), zap.Strings("differences", says))
	if d.Record != nil {
		d.Record.Withheld(caller.Of(ctx), call, asked, says)
	}
}

// Digest identifies a request by its content, so that a recorded one or one that a caller
// kept can be recognised.
func Digest(m proto.Message) string {
	text, err := proto.MarshalOptions{Deterministic: true}.Marshal(m)
	if err != nil {
		return "none" // a message received over the wire can be written again
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
