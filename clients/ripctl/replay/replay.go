// Package replay plans recorded boards again, as they were or for another saw or another
// order, and reports what would have changed. It reads the service's recordings.
package replay

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Change is what differs. Zero: boards are planned as recorded.
type Change struct {
	Saw     *ripwrightv1.Saw // or SawName
	SawName string
	Order   *ripwrightv1.CutOrder
	Turns   bool // plans may turn boards, even if they could not when recorded
}

func (c *Change) any() bool { return c.Saw != nil || c.SawName != "" || c.Order != nil || c.Turns }

// Solve plans one board, as a client's SolveBoard does.
type Solve func(context.Context, *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error)

// Record is one line of a recording.
type Record struct {
	Request  *ripwrightv1.SolveBoardRequest
	Response *ripwrightv1.SolveBoardResponse
}

// longestLine limits a line of a recording: the longest request and answer.
const longestLine = 128 << 20

// Passed lists the lines of a recording that were skipped.
type Passed struct {
	Torn     []Mistake // not JSON: torn by a full disk or a power cut
	Withheld []int     // lines of requests whose plan the service withheld
}

// Read calls f for each record in turn, until it returns an error. Lines that are not
// JSON and those without a plan are skipped and listed. Any other line that is not a
// record is a Mistake, and so is a torn one if no record is whole.
func Read(r io.Reader, f func(*Record) error) (passed Passed, err error) {
	records := 0
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, longestLine)
	n := 1
	for ; lines.Scan(); n++ {
		if len(lines.Bytes()) == 0 {
			continue
		}
		if !json.Valid(lines.Bytes()) {
			passed.Torn = append(passed.Torn, Mistake{n, errTorn})
			continue
		}
		records++
		var parts struct{ Request, Response, Withheld json.RawMessage }
		rec := &Record{&ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{}}
		err := json.Unmarshal(lines.Bytes(), &parts)
		if err == nil && parts.Withheld != nil {
			passed.Withheld = append(passed.Withheld, n)
			continue
		}
		if err == nil {
			err = protojson.Unmarshal(parts.Request, rec.Request)
		}
		if err == nil {
			err = protojson.Unmarshal(parts.Response, rec.Response)
		}
		if err != nil {
			return passed, &Mistake{n, err}
		}
		if err := f(rec); err != nil {
			return passed, err
		}
	}
	if err := lines.Err(); err != nil {
		return passed, &Mistake{n, err}
	}
	if records == 0 && len(passed.Torn) > 0 {
		return passed, &passed.Torn[0]
	}
	return passed, nil
}

var errTorn = errors.New("is incomplete")

// Mistake is an error that prevents a recording from being read.
type Mistake struct {
	Line int
	Err  error
}

func (m *Mistake) Error() string { return fmt.Sprintf("line %d: %v", m.Line, m.Err) }
func (m *Mistake) Unwrap() error { return m.Err }

// Run plans every board of a recording again. With a change, what each plan makes counts
// towards the next board's order, as it would have on the line, and the saw is set from
// where the previous plan left it; without one every board is planned exactly as
// recorded. A board that the service refuses, or whose plan it withholds, is listed as
// refused in the report; any other error ends the replay.
func Run(ctx context.Context, r io.Reader, solve Solve, change Change) (*Report, error) {
	report := newReport()
	chain := chain{change: change, made: map[string]map[string]*ripwrightv1.Fill{}}
	passed, err := Read(r, func(rec *Record) error {
		asked := rec.Request
		if change.any() {
			asked = chain.next(asked)
		}
		answer, err := solve(ctx, asked)
		if status.Code(err) == codes.InvalidArgument || withheld(err) {
			report.refuse(rec, err)
			return nil
		}
		if err != nil {
			return err
		}
		chain.took(asked, answer)
		report.add(rec, asked, answer)
		return nil
	})
	report.Passed = passed
	return report, err
}

// withheld reports whether an error says that a plan failed the service's check.
func withheld(err error) bool {
	return slices.ContainsFunc(status.Convert(err).Details(), func(d any) bool {
		info, is := d.(*errdetails.ErrorInfo)
		return is && info.GetReason() == "PLAN_WITHHELD"
	})
}

// chain carries from board to board what each leaves for the next.
type chain struct {
	change Change
	made   map[string]map[string]*ripwrightv1.Fill // by order and item
	last   *ripwrightv1.Plan
}

// next makes the request for a board under the change.
func (c *chain) next(recorded *ripwrightv1.SolveBoardRequest) *ripwrightv1.SolveBoardRequest {
	asked := proto.CloneOf(recorded)
	switch {
	case c.change.Saw != nil:
		asked.SawChoice = &ripwrightv1.SolveBoardRequest_Saw{Saw: proto.CloneOf(c.change.Saw)}
	case c.change.SawName != "":
		asked.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: c.change.SawName}
	}
	if c.change.Order != nil {
		asked.Order = proto.CloneOf(c.change.Order)
	}
	if c.change.Turns {
		if asked.Options == nil {
			asked.Options = &ripwrightv1.SolveOptions{}
		}
		asked.Options.TurnBoards = true
	}
	if c.change.Saw != nil || c.change.SawName != "" {
		asked.CurrentSetting = nil // where another saw stood
	}
	if at := c.last.GetSetting(); at != nil {
		asked.CurrentSetting = at
	}
	for _, it := range asked.GetOrder().GetItems() {
		f := c.made[asked.GetOrder().GetOrderId()][it.GetItemId()]
		if f == nil {
			continue
		}
		it.Made = f.GetMadeAfter()
		for i, l := range f.GetLengths() {
			if i < len(it.GetCrosscut().GetLengths()) {
				it.Crosscut.Lengths[i].Made = proto.Int32(l.GetMadeAfter())
			}
		}
	}
	return asked
}

func (c *chain) took(asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse) {
	id := asked.GetOrder().GetOrderId()
	if c.made[id] == nil {
		c.made[id] = map[string]*ripwrightv1.Fill{}
	}
	for _, f := range answer.GetFills() {
		c.made[id][f.GetItemId()] = f
	}
	c.last = answer.GetPlan()
}
