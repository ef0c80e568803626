// Package withhold keeps a plan back that fails its check. Everything that the
// solver says about a board goes through solver/audit before it is sent, and what
// is sent is compared with what was checked. A plan that fails is never sent: the
// caller is told so, and a log line, a counter and, where boards are recorded, the
// recording tell the mill's people.
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

// Message is the kind of difference between a plan and the message that it is sent
// in, beside those of package audit.
const Message audit.Kind = "message"

// Kinds lists all kinds of differences.
func Kinds() (all []string) {
	for _, k := range append(audit.Kinds(), Message) {
		all = append(all, string(k))
	}
	return all
}

// Error is the error of a plan that is withheld. Its text is for callers: it says
// nothing about how plans are made or checked.
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

// Result checks what the search says about a board. The error is an *Error.
func Result(j *wire.Job, r *rip.Result) error {
	found := bays(j, r)
	if n := j.Instructed(); n != nil {
		return of(append(found, told(j, n, r)...))
	}
	return of(append(found, audit.Result(&j.Problem, terms(j), r)...))
}

// bays checks that plans make nothing of what has no bay, and the plan that they are
// measured by.
func bays(j *wire.Job, r *rip.Result) (found []audit.Difference) {
	for i, p := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		if p == nil {
			continue // which the audit tells
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

// Checked checks the score of a setting and the optimum beside it.
func Checked(j *wire.Job, c *rip.Checked, best *rip.Result) error {
	return of(audit.Checked(&j.Problem, terms(j), c, best))
}

// Given checks the score of a setting by itself.
func Given(j *wire.Job, c *rip.Checked) error { return of(audit.Given(&j.Problem, c)) }

func terms(j *wire.Job) audit.Terms { return audit.Terms{Pace: j.Pace, Price: j.Price, Turns: j.Turns} }

// Watcher counts plans that are withheld, by kind.
type Watcher interface{ Withheld(kind string) }

// Recorder writes down requests whose plan was withheld.
type Recorder interface {
	Withheld(caller, call string, asked proto.Message, differences []string)
}

// Desk tells of plans that are withheld.
type Desk struct {
	Log    *zap.Logger
	Watch  Watcher
	Record Recorder // nil: nothing is written down
}

// Tell tells of a plan that is withheld from a call that asked so. The message may
// not be changed any more. The log names the request by a digest, and quotes
// nothing of it.
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

// Digest names a request by its content, so that a recorded one or one that a
// caller kept can be known again.
func Digest(m proto.Message) string {
	text, err := proto.MarshalOptions{Deterministic: true}.Marshal(m)
	if err != nil {
		return "none" // what came in over the wire can be written again
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
