package planning

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/workers"
	"github.com/ripwright/ripwright/solver/run"
)

// mill is an invented order on an invented gang of fixed blades.
func mill() *ripwrightv1.QuoteOrderRequest {
	s := &ripwrightv1.Saw{KerfMm: proto.Float64(4), StepMm: 1, MinGapMm: 20, MinStripWidthMm: 20, Fence: &ripwrightv1.Travel{MaxMm: 290}}
	for _, a := range []float64{120, 174, 248, 292, 386} {
		s.Blades = append(s.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: a}})
	}
	o := &ripwrightv1.CutOrder{}
	for i, w := range []float64{40, 50, 70, 90} {
		o.Items = append(o.Items, &ripwrightv1.Item{ItemId: fmt.Sprint(w), Width: &ripwrightv1.Item_WidthMm{WidthMm: w},
			Value: float64(10 - i), MinLengthMm: 400,
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 30}}})
	}
	// As an ERP states it: pieces of a length.
	o.Items[3].Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 50}}
	o.Items[3].PieceLengthMm = proto.Float64(600)
	return &ripwrightv1.QuoteOrderRequest{
		SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: s}, Order: o, Simulations: proto.Int32(5),
		TimeLimitMs: proto.Float64(3_600_000), // however busy the machine is
		Lumber: &ripwrightv1.Lumber{Seed: 4, SampleBoards: proto.Int32(30), Lots: []*ripwrightv1.Lot{{LotId: "pack", PricePerMbf: proto.Float64(3000),
			Source: &ripwrightv1.Lot_Spread{Spread: &ripwrightv1.BoardSpread{
				MeanWidthMm: 190, WidthSdMm: 45, MinWidthMm: 90, MaxWidthMm: 320, ThicknessMm: proto.Float64(25), CrookMm: 6, TaperMm: 10,
				Lengths: []*ripwrightv1.LengthShare{{LengthMm: 1800, Share: proto.Int32(1)}, {LengthMm: 2400, Share: proto.Int32(2)}},
			}}}}},
		Pace: &ripwrightv1.SawPace{FeedMPerMin: proto.Float64(30), PositioningMmPerS: proto.Float64(200), HandlingS: proto.Float64(3), ShiftHours: proto.Float64(8)},
	}
}

func TestQuoteOrder(t *testing.T) {
	m := mill()
	m.Compare = []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}
	m.Scrap = []*ripwrightv1.ScrapAllowance{{ItemId: "50", Fraction: 0.1}}
	var answers []*ripwrightv1.QuoteOrderResponse
	for range 2 {
		q, err := service().QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		q.SolveTimeUs = 0
		answers = append(answers, q)
	}
	if !proto.Equal(answers[0], answers[1]) {
		t.Error("two quotes for one request")
	}
	q := answers[0]
	if q.EndedBy != ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT || q.Quote.Simulations != 5 || len(q.Others) != 2 || q.GetBound() <= 0 || q.GetCost() < q.GetBound() {
		t.Fatalf("%v", q)
	}
	for _, o := range append(q.Others, q.Quote) {
		wants := []float64{30, 33, 30, 50}
		for i, it := range o.Items {
			if it.Made.Lower < wants[i]-1e-9 || it.FilledAtBoard.Mean > o.Boards.Mean {
				t.Errorf("%v: %v", o.Values, it)
			}
		}
		if o.FaceM2.Mean < q.GetBound()*0.9 {
			t.Errorf("%v: %v m2 against a bound of %v", o.Values, o.FaceM2, q.GetBound())
		}
		if math.Abs(o.Cost.Mean-3*o.BoardFeet.Mean) > 1e-9*o.Cost.Mean {
			t.Errorf("%v: cost %v for %v board feet", o.Values, o.Cost, o.BoardFeet)
		}
		sum := 0.0
		for _, c := range o.SimulationCosts {
			sum += c
		}
		// Five runs are too few for ranks at 0.9; their costs are given as they are.
		if n := len(o.SimulationCosts); n != 5 || !slices.IsSorted(o.SimulationCosts) || math.Abs(sum/5-o.Cost.Mean) > 1e-9*sum ||
			o.SimulationCosts[0] < o.Cost.Lower || o.SimulationCosts[n-1] > o.Cost.Upper {
			t.Errorf("%v: runs cost %v, %v in all", o.Values, o.SimulationCosts, o.Cost)
		}
	}
}

func TestQuoteRefuses(t *testing.T) {
	for path, spoil := range map[string]func(*ripwrightv1.QuoteOrderRequest){
		"simulations":               func(m *ripwrightv1.QuoteOrderRequest) { m.Simulations = proto.Int32(1001) },
		"level":                     func(m *ripwrightv1.QuoteOrderRequest) { m.Level = proto.Float64(1) },
		"max_boards":                func(m *ripwrightv1.QuoteOrderRequest) { m.MaxBoards = proto.Int32(-1) },
		"replan_every_boards":       func(m *ripwrightv1.QuoteOrderRequest) { v := int32(-1); m.ReplanEveryBoards = &v },
		"values":                    func(m *ripwrightv1.QuoteOrderRequest) { m.Values = 7 },
		"pace.feed_m_per_min":       func(m *ripwrightv1.QuoteOrderRequest) { m.Pace.FeedMPerMin = proto.Float64(math.NaN()) },
		"pace.positioning_mm_per_s": func(m *ripwrightv1.QuoteOrderRequest) { m.Pace.PositioningMmPerS = proto.Float64(-1) },
		"pace.handling_s":           func(m *ripwrightv1.QuoteOrderRequest) { m.Pace.HandlingS = proto.Float64(1e9) },
		"pace.shift_hours":          func(m *ripwrightv1.QuoteOrderRequest) { m.Pace.ShiftHours = proto.Float64(25) },
		"scrap[0].item_id":          func(m *ripwrightv1.QuoteOrderRequest) { m.Scrap = []*ripwrightv1.ScrapAllowance{{ItemId: "no"}} },
		"scrap[0].fraction": func(m *ripwrightv1.QuoteOrderRequest) {
			m.Scrap = []*ripwrightv1.ScrapAllowance{{ItemId: "40", Fraction: 11}}
		},
		"lumber.lots[0].spread.crook_mm": func(m *ripwrightv1.QuoteOrderRequest) { m.Lumber.Lots[0].GetSpread().CrookMm = 501 },
		"order.items[3].piece_length_mm": func(m *ripwrightv1.QuoteOrderRequest) { m.Order.Items[3].PieceLengthMm = proto.Float64(10) },
		"lumber.lots[0].spread.taper_mm": func(m *ripwrightv1.QuoteOrderRequest) { m.Lumber.Lots[0].GetSpread().TaperMm = 91 },
		"lumber.lots[0].spread.lengths[1].share": func(m *ripwrightv1.QuoteOrderRequest) {
			m.Lumber.Lots[0].GetSpread().Lengths[1].Share = proto.Int32(0)
		},
	} {
		m := mill()
		spoil(m)
		_, err := service().QuoteOrder(t.Context(), m)
		if named := faultsOf(err); status.Code(err) != codes.InvalidArgument || !strings.Contains(" "+named+" ", " "+path+" ") {
			t.Errorf("%s: %v %s", path, err, named)
		}
		err = service().WatchQuote(&ripwrightv1.WatchQuoteRequest{Quote: m}, &watcher{ctx: t.Context()})
		if named := faultsOf(err); !strings.Contains(" "+named+" ", " quote."+path+" ") {
			t.Errorf("watched, %s: %v %s", path, err, named)
		}
	}
}

func faultsOf(err error) string {
	var named []string
	for _, d := range status.Convert(err).Details() {
		if b, ok := d.(*errdetails.BadRequest); ok {
			for _, v := range b.GetFieldViolations() {
				named = append(named, v.GetField())
			}
		}
	}
	return strings.Join(named, " ")
}

// watcher receives a stream's messages, up to a number.
type watcher struct {
	grpc.ServerStreamingServer[ripwrightv1.WatchQuoteResponse]
	ctx  context.Context
	most int // 0: all
	got  []*ripwrightv1.WatchQuoteResponse
}

var errFull = errors.New("no more")

func (w *watcher) Context() context.Context { return w.ctx }

func (w *watcher) Send(m *ripwrightv1.WatchQuoteResponse) error {
	if w.most > 0 && len(w.got) == w.most {
		return errFull
	}
	w.got = append(w.got, m)
	return nil
}

func TestWatchQuote(t *testing.T) {
	w := &watcher{ctx: t.Context()}
	if err := service().WatchQuote(&ripwrightv1.WatchQuoteRequest{Quote: mill()}, w); err != nil {
		t.Fatal(err)
	}
	n := len(w.got)
	if n < 2 || w.got[n-1].GetQuote().GetQuote().GetSimulations() != 5 {
		t.Fatalf("%v", w.got)
	}
	for _, m := range w.got[:n-1] {
		if p := m.GetProgress(); p.GetSimulations() != 5 || p.GetEnded() < 1 || p.GetEnded() > 5 {
			t.Errorf("%v", m)
		}
	}
}

// A quote ends when its watcher leaves or hangs up, and frees its workers.
func TestQuoteCancelled(t *testing.T) {
	s := service()
	m := mill()
	m.Simulations = proto.Int32(1000)
	if err := s.WatchQuote(&ripwrightv1.WatchQuoteRequest{Quote: m}, &watcher{ctx: t.Context(), most: 1}); !errors.Is(err, errFull) {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(20*time.Millisecond, cancel)
	if _, err := s.QuoteOrder(ctx, m); status.Code(err) != codes.Canceled {
		t.Error(err)
	}
	if n := s.cfg.Workers.Taken(); n != 0 {
		t.Errorf("%d workers are still held", n)
	}
	// The request's own limit gives the runs so far.
	m.TimeLimitMs = proto.Float64(500)
	q, err := s.QuoteOrder(t.Context(), m)
	if err != nil || q.EndedBy != ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT || q.GetQuote().GetSimulations() >= 1000 {
		t.Errorf("%v %v", q, err)
	}
	if c := s.cfg.Watch.(*counts); c.short.Load() != 1 || c.boards.Load() == 0 {
		t.Errorf("counted %d quotes cut short, %d boards", c.short.Load(), c.boards.Load())
	}
}

// ticking is a service whose clock advances by tick whenever it is read.
func ticking(tick time.Duration) *Service {
	s := service()
	var now atomic.Int64
	s.now = func() time.Time { return time.Unix(0, now.Add(int64(tick))) }
	return s
}

// A quote and a planning of the arbor without a limit end after 30 s, and say what they
// left undone; one with a longer limit continues.
func TestUsualLimit(t *testing.T) {
	s := ticking(10 * time.Millisecond) // a few thousand readings
	m := mill()
	m.TimeLimitMs, m.Simulations, m.Compare = nil, proto.Int32(1000), []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}
	q, err := s.QuoteOrder(t.Context(), m)
	if err != nil || q.EndedBy != ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT || q.SolveTimeUs < 30e6 {
		t.Fatalf("%v %v", q, err)
	}
	if !strings.Contains(q.LeftUndone, "of 1000 simulations by planned values did not end in time") ||
		!strings.Contains(q.LeftUndone, "of 1000 simulations by yield alone") {
		t.Errorf("left undone: %q", q.LeftUndone)
	}
	a := arbors()
	a.TimeLimitMs, a.MaxSettings = nil, proto.Int32(100_000)
	r, err := s.PlanArbor(t.Context(), a)
	if err != nil || r.EndedBy != ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT || !strings.Contains(r.LeftUndone, "settings were tried for the suggestions") {
		t.Errorf("%v %v", r, err)
	}
	m.Simulations, m.Compare, m.TimeLimitMs = proto.Int32(5), nil, proto.Float64(3_600_000)
	if q, err = s.QuoteOrder(t.Context(), m); err != nil || q.EndedBy != ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT || q.LeftUndone != "" || q.GetQuote().GetSimulations() != 5 {
		t.Errorf("%v %v", q, err)
	}
	// If the limit passes at once there are no figures, rather than zeros.
	s = ticking(time.Minute)
	m.TimeLimitMs, a.MaxSettings = nil, proto.Int32(40)
	if q, err = s.QuoteOrder(t.Context(), m); err != nil || q.Quote != nil || q.Cost != nil || q.LeftUndone == "" {
		t.Errorf("%v %v", q, err)
	}
	if r, err = s.PlanArbor(t.Context(), a); err != nil || r.GetToday().GetBoards() != 0 || len(r.GetToday().GetFixedMm()) != 3 || r.LeftUndone != "no setting was tried, not even today's" {
		t.Errorf("%v %v", r, err)
	}
}

func TestTurnsAwayWhatCannotWait(t *testing.T) {
	s := with(workers.Config{Workers: 1})
	err := s.cfg.Workers.Do(t.Context(), "another", 0, func() error {
		_, err := s.QuoteOrder(t.Context(), mill())
		return err
	})
	if status.Code(err) != codes.ResourceExhausted || !strings.Contains(err.Error(), "too many plans and tallies are waiting") {
		t.Error(err)
	}
}

// Fields that a request leaves out have the defaults of their comments.
func TestQuoteDefaults(t *testing.T) {
	m := mill()
	m.Simulations, m.TimeLimitMs = nil, nil
	q, err := service().readQuote(m)
	if err != nil {
		t.Fatal(err)
	}
	if o := q.options; o.Runs != 39 || o.Level != 0.9 || o.MostBoards != 20_000 || o.Replan != 25 || o.Seed != 4 || len(o.Policies) != 1 || q.limit != 30*time.Second {
		t.Errorf("%+v", o)
	}
	zero := int32(0)
	m.ReplanEveryBoards, m.Lumber.SampleBoards = &zero, nil
	// What the request leaves out of the pace is the saw's.
	s := m.GetSaw()
	s.FeedMPerMin, s.PositioningMmPerS, s.HandlingS, s.PositioningOverlapsHandling = proto.Float64(25), proto.Float64(100), 4, true
	m.Pace = &ripwrightv1.SawPace{HandlingS: proto.Float64(2.5)}
	if q, err = service().readQuote(m); err != nil {
		t.Fatal(err)
	}
	want := run.Pace{Feed: 25_000_000_000, Positioning: 100_000_000, Handling: 2500 * time.Millisecond, Overlaps: true}
	if q.options.Replan != 0 || len(q.sampled()[0].Kinds) != 100 || q.problem.Pace.Pace != want {
		t.Errorf("%+v, %d boards, pace %+v", q.options, len(q.sampled()[0].Kinds), q.problem.Pace)
	}
}

// A quote that would take minutes frees the only worker when its caller leaves: the next
// caller, who waits, gets an answer.
func TestCancelledQuoteMakesRoom(t *testing.T) {
	s := with(workers.Config{Workers: 1, Waiting: 1})
	long := mill()
	long.Simulations, long.Compare, long.Lumber.SampleBoards = proto.Int32(1000), []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}, proto.Int32(2000)
	for _, it := range long.Order.Items[:3] {
		it.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 30_000}}
	}
	ctx, cancel := context.WithCancel(t.Context())
	gone := make(chan error)
	go func() { _, err := s.QuoteOrder(ctx, long); gone <- err }()
	for s.cfg.Workers.Taken() == 0 {
		time.Sleep(time.Millisecond)
	}
	within, late := context.WithTimeout(t.Context(), time.Minute)
	defer late()
	got := make(chan error)
	go func() { _, err := s.QuoteOrder(within, mill()); got <- err }()
	for s.cfg.Workers.Waiting() == 0 {
		time.Sleep(time.Millisecond)
	}
	cancel()
	if err := <-gone; status.Code(err) != codes.Canceled {
		t.Error(err)
	}
	if err := <-got; err != nil {
		t.Errorf("the caller that waited: %v", err)
	}
}
