package sim

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/testdata/brief"
)

// replica is a separate server in this process.
type replica struct {
	*app.App
	t     *testing.T
	stop  context.CancelFunc
	ended chan error
}

func begin(t *testing.T) *replica {
	t.Helper()
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 2, Waiting: 64, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	r := &replica{a, t, stop, make(chan error, 1)}
	go func() { r.ended <- a.Run(ctx) }()
	return r
}

// fell cuts the replica off immediately.
func (r *replica) fell() {
	r.Halt()
	r.stop()
	if err := <-r.ended; err != nil && !errors.Is(err, app.ErrCutOff) {
		r.t.Error(err)
	}
}

func dial(at string) (ripwrightv1.RipServiceClient, func(), error) {
	conn, err := grpc.NewClient(at, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return nil, nil, err
	}
	return ripwrightv1.NewRipServiceClient(conn), func() { _ = conn.Close() }, nil
}

// sound checks that a run ended and that the service's books equal the line's own.
func sound(t *testing.T, r *Report, err error, boards int) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range r.Wrong {
		t.Error(w)
	}
	if r.Missed > 0 {
		t.Errorf("%d boards got no plan", r.Missed)
	}
	if n := int(r.Summary.GetPlanned() + r.Summary.GetRefused()); n != boards {
		t.Errorf("%d of %d boards answered", n, boards)
	}
}

// A line on one stream.
func TestLine(t *testing.T) {
	a := begin(t)
	defer a.fell()
	r, err := Run(t.Context(), Config{Seed: 7, Boards: 60, SetUp: SetUp("whole"), Patience: time.Minute, Within: time.Minute,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return dial(a.GRPC()) }})
	sound(t, r, err, 60)
	if r.Stopped == 0 {
		t.Error("no axis missed its position")
	}
	var out bytes.Buffer
	r.Print(&out)
	if s := out.String(); !strings.Contains(s, fmt.Sprintf("%d boards planned", r.Summary.GetPlanned())) || strings.Contains(s, "WRONG") {
		t.Error(s)
	}
}

// Streams that break anywhere are continued on the other replica, with the client's last
// state, while replicas fail and return: nothing is lost or counted twice.
func TestResume(t *testing.T) {
	resumed(t, Config{Seed: 1, SetUp: SetUp("resumed"), Breaks: 0.12})
	// Planned values are carried along, which needs a planning to end between two breaks:
	// on a busy machine that takes longer.
	for seed := uint64(2); seed <= uint64(max(brief.Fewer(3), 2)); seed++ {
		n := int32(0)
		for every := 120 * time.Millisecond; n < 2; every *= 3 {
			if every > 10*time.Second {
				t.Fatalf("seed %d: values in force only reach number %d, however slow the line", seed, n)
			}
			up := SetUp(fmt.Sprint("resumed ", seed))
			up.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(3), Expected: []*ripwrightv1.Board{Board(seed, 1000)}}
			n = resumed(t, Config{Seed: seed, SetUp: up, Every: every, Breaks: 0.08}).Values.GetNumber()
		}
	}
}

// The same for runs with successive orders: no board is planned for an order that is full
// while another waits, and the books of all of them equal the line's own.
func TestResumeOrders(t *testing.T) {
	ordersResumed(t, SetUpOfOrders("orders"))
}

// The same for runs whose last boards serve two orders: each gets the strips that its own
// plans and measurements say.
func TestResumeOverlap(t *testing.T) {
	up := SetUpOfOrders("overlap")
	up.OverlapFromBoards = proto.Float64(3)
	if r := ordersResumed(t, up); r.Two < 2 {
		t.Errorf("only %d boards served two orders", r.Two)
	}
}

// ordersResumed runs successive orders, some of which get full.
func ordersResumed(t *testing.T, up *ripwrightv1.LineSetUp) *Report {
	t.Helper()
	r := resumed(t, Config{Seed: 5, SetUp: up, Breaks: 0.12})
	full := 0
	for _, o := range r.Summary.GetOrders() {
		if o.GetFull() {
			full++
		}
	}
	if full == 0 || len(r.Summary.GetOrders()) != 3 {
		t.Errorf("%d orders are full: %v", full, r.Summary.GetOrders())
	}
	return r
}

// The same for runs whose outfeed has fewer bays than the order has stacks: no board is
// planned for more, and the contents of the bays are carried along. So are the time, the
// line's stops and the operator's instructions.
func TestResumeBays(t *testing.T) {
	brief.Skip(t)
	for seed, up := range []*ripwrightv1.LineSetUp{SetUpOfOrders("bays of orders"), SetUp("bays")} {
		up.OutfeedBays = &ripwrightv1.OutfeedBays{Bays: 2, ChangeS: 40, MeasureEveryBoards: proto.Int32(2)}
		r := resumed(t, Config{Seed: 7 + uint64(seed), SetUp: up, Breaks: 0.12, Shift: true, Instructs: true})
		if len(r.Summary.GetStops()) == 0 || r.Instructed == 0 {
			t.Errorf("stops %v, %d boards with instructions", r.Summary.GetStops(), r.Instructed)
		}
		if b := r.Summary.GetBays(); b.GetBoardsMeasured() == 0 || b.GetWorth() >= b.GetFreeWorth() || (b.GetChanges() == 0) != (seed == 1) {
			t.Errorf("%v", b)
		}
	}
}

// resumed runs a line on two replicas that fail in turn.
func resumed(t *testing.T, cfg Config) *Report {
	t.Helper()
	replicas := []*replica{begin(t), begin(t)}
	defer func() {
		for _, a := range replicas {
			a.fell()
		}
	}()
	turn, breaks := 0, 0
	cfg.Boards, cfg.Patience = 36, time.Minute
	cfg.Dial = func(context.Context) (ripwrightv1.RipServiceClient, func(), error) {
		turn++
		return dial(replicas[turn%2].GRPC())
	}
	cfg.Broke = func() {
		if breaks++; breaks%3 == 0 {
			replicas[turn%2].fell()
			replicas[turn%2] = begin(t)
		}
	}
	r, err := Run(t.Context(), cfg)
	sound(t, r, err, 36)
	if r.Breaks < 5 {
		t.Errorf("only %d breaks", r.Breaks)
	}
	return r
}

// A controller detects errors in a plan.
func TestControllerRefuses(t *testing.T) {
	a := begin(t)
	defer a.fell()
	client, hangUp, err := dial(a.GRPC())
	if err != nil {
		t.Fatal(err)
	}
	defer hangUp()
	s, err := client.RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	setUp, board := SetUp("controller"), Board(1, 0)
	var answers []*ripwrightv1.RunLineResponse
	for i, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: setUp}},
		{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: board}}},
	} {
		m.Sequence = int32(i + 1)
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		got, err := s.Recv()
		if err != nil {
			t.Fatal(err)
		}
		answers = append(answers, got)
	}
	fingerprint := answers[0].GetStarted().GetReady().GetArborFingerprint()
	check := func(spoil func(*ripwrightv1.LinePlan)) error {
		p := cloneOf(answers[1].GetPlan())
		spoil(p)
		c := Controller{Saw: setUp.GetSaw(), Start: setUp.GetCurrentSetting(), Fingerprint: fingerprint}
		return errors.Join(c.Check(board, p), c.Move(2, p))
	}
	if err := check(func(*ripwrightv1.LinePlan) {}); err != nil {
		t.Fatalf("a correct plan is refused: %v", err)
	}
	strip := func(p *ripwrightv1.LinePlan) *ripwrightv1.Pocket {
		for _, k := range p.GetPlan().GetPockets() {
			if k.GetItemId() != "" {
				return k
			}
		}
		t.Fatal("the plan has no strip")
		return nil
	}
	for what, spoil := range map[string]func(*ripwrightv1.LinePlan){
		"another arbor":        func(p *ripwrightv1.LinePlan) { p.ArborFingerprint = "x" },
		"fence off its stops":  func(p *ripwrightv1.LinePlan) { *p.Plan.Setting.FenceMm += 0.1 },
		"fence beyond":         func(p *ripwrightv1.LinePlan) { *p.Plan.Setting.FenceMm = 300 },
		"fixed blade moved":    func(p *ripwrightv1.LinePlan) { p.Plan.Setting.BladesMm[0] += 0.5 },
		"blades too near":      func(p *ripwrightv1.LinePlan) { p.Plan.Setting.BladesMm[3] = p.Plan.Setting.BladesMm[2] + 30 },
		"a blade missing":      func(p *ripwrightv1.LinePlan) { p.Plan.Setting.BladesMm = p.Plan.Setting.BladesMm[:3] },
		"a target missing":     func(p *ripwrightv1.LinePlan) { p.Targets = nil },
		"a target elsewhere":   func(p *ripwrightv1.LinePlan) { p.Targets[0].ToPosition++ },
		"a target from there":  func(p *ripwrightv1.LinePlan) { *p.Targets[0].FromPosition++ },
		"no start":             func(p *ripwrightv1.LinePlan) { p.Start = nil },
		"another board":        func(p *ripwrightv1.LinePlan) { p.BoardId = "x" },
		"a stretch too long":   func(p *ripwrightv1.LinePlan) { strip(p).Stretches[0].ToMm += 2 },
		"a strip off the wood": func(p *ripwrightv1.LinePlan) { strip(p).NearMm -= 500; strip(p).FarMm -= 500 },
		"a width":              func(p *ripwrightv1.LinePlan) { strip(p).WidthMm += 1 },
		"the account":          func(p *ripwrightv1.LinePlan) { p.Plan.Account.KerfM2 += 1e-6 },
	} {
		if check(spoil) == nil {
			t.Errorf("%s: not detected", what)
		}
	}
}

// A controller does not let a board be fed unless the axes are set for it: it measures
// them, within the machine's tolerance.
func TestControllerMeasures(t *testing.T) {
	p := &ripwrightv1.LinePlan{Plan: &ripwrightv1.Plan{Setting: &ripwrightv1.Setting{FenceMm: proto.Float64(130), BladesMm: []float64{150, 220, 300, 400}}},
		Start:   &ripwrightv1.LineStart{Basis: ripwrightv1.StartBasis_START_BASIS_SET_UP},
		Targets: []*ripwrightv1.Target{{Axis: ripwrightv1.Axis_AXIS_FENCE, FromPosition: proto.Float64(120), ToPosition: 130}}}
	for off, fed := range map[float64]bool{0: true, 0.04: true, -0.04: true, 0.06: false, -3: false} {
		c := Controller{Saw: SetUp("measured").GetSaw(), Start: SetUp("measured").GetCurrentSetting(), Tolerance: machine,
			Drive: func(_, to []float64) []float64 { to[0] += off; return to }}
		if err := c.Move(2, p); (err == nil) != fed || err != nil && !errors.Is(err, ErrMissed) {
			t.Errorf("an axis %g mm off: %v", off, err)
		}
		next := cloneOf(p)
		next.Start.Basis, next.Targets[0].FromPosition = ripwrightv1.StartBasis_START_BASIS_CUT, proto.Float64(130)
		c.Drive = nil
		if from := c.Stands(); (c.Move(3, next) == nil) != fed {
			t.Errorf("an axis %g mm off: feeding the next board from there differs", off)
		} else {
			c.Set(from, 0)
		}
		if at := c.Stands().GetFenceMm(); at != 130+off {
			t.Errorf("an axis %g mm off is measured at %g mm", off, at)
		}
	}
}

// The book detects an error in any number of a summary.
func TestBookDetects(t *testing.T) {
	a := begin(t)
	defer a.fell()
	l := Config{Seed: 3, Boards: 40, SetUp: SetUp("book"), Patience: time.Minute,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return dial(a.GRPC()) }}
	r, k, err := runWithBook(t.Context(), l)
	sound(t, r, err, 40)
	for what, spoil := range map[string]func(*ripwrightv1.RunSummary){
		"planned":     func(s *ripwrightv1.RunSummary) { s.Planned++ },
		"refused":     func(s *ripwrightv1.RunSummary) { s.Refused++ },
		"unconfirmed": func(s *ripwrightv1.RunSummary) { s.Unconfirmed++ },
		"an outcome":  func(s *ripwrightv1.RunSummary) { s.Outcomes[0].Boards-- },
		"outcomes":    func(s *ripwrightv1.RunSummary) { s.Outcomes = s.Outcomes[1:] },
		"strips":      func(s *ripwrightv1.RunSummary) { s.Items[1].Strips++ },
		"length":      func(s *ripwrightv1.RunSummary) { s.Items[1].LengthM += 1e-6 },
		"area":        func(s *ripwrightv1.RunSummary) { s.Items[1].AreaM2 += 1e-6 },
		"items":       func(s *ripwrightv1.RunSummary) { s.Items = s.Items[1:] },
		"face":        func(s *ripwrightv1.RunSummary) { s.Account.FaceM2 += 1e-5 },
		"kerf":        func(s *ripwrightv1.RunSummary) { s.Account.KerfM2 += 1e-5 },
	} {
		s := cloneOf(r.Summary)
		spoil(s)
		if len(k.compare(s)) == 0 {
			t.Errorf("%s: not detected", what)
		}
	}
}
