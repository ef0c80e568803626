// Package line carries boards from a PLC to the service, and plans back.
//
// Two goroutines share the work. The looker reads the PLC every few milliseconds, and
// never waits for anything else: it has the hand-over (package handover) and the life
// counter. The clerk has the books and the session with the service.
package line

import (
	"context"
	"crypto/rand"
	"encoding/binary"
	"errors"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Config of a line.
type Config struct {
	// Dial connects to the PLC.
	Dial func(context.Context) (plc.PLC, error)
	// Stream opens a stream to the service, on the next replica each time.
	Stream func(context.Context) (session.Stream, error)
	Books  *books.Books
	SetUp  *ripwrightv1.LineSetUp
	Slots  int           // of the ring of results, a power of two
	Poll   time.Duration // interval of looks
	Beat   time.Duration // interval of the life counter
	Dead   time.Duration // time after which an unchanged life word counts as dead
	Within time.Duration // time limit of the service for a plan
	Silent bool          // writes nothing to the PLC, and reports every board as not cut
	Log    *zap.Logger
	// Registry takes the metrics.
	Registry prometheus.Registerer
	// Tell is called with every answer of the service, including those to a resume, and
	// the board that it is about, if any; nil: not called. It must not block.
	Tell func(handover.Board, *ripwrightv1.RunLineResponse)
	// Stands is called at every change of state: whether the PLC answers, and whether
	// service and books work; nil: not called. It must not block.
	Stands func(connected, ready bool)
	// Now gives the time, which may be set back; nil: time.Now.
	Now func() time.Time
	// SumUp is how long after a result a summary is requested, for Tell; 0: never.
	SumUp time.Duration
}

// ErrSecond says that another bridge serves the same PLC.
var ErrSecond = errors.New("another bridge writes to this PLC")

// Run serves a line until the context ends.
func Run(ctx context.Context, cfg Config) error {
	if cfg.Tell == nil {
		cfg.Tell = func(handover.Board, *ripwrightv1.RunLineResponse) {}
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Stands == nil {
		cfg.Stands = func(bool, bool) {}
	}
	ctx, end := context.WithCancelCause(ctx)
	defer end(nil)
	m := newMetrics(cfg.Registry)
	c := &clerk{books: cfg.Books, setUp: cfg.SetUp, within: cfg.Within, log: cfg.Log, metrics: m, tell: cfg.Tell, sumUp: cfg.SumUp,
		session: &session.Session{Dial: cfg.Stream, Within: 2*cfg.Within + time.Second, Patience: 0},
		jobs:    make(chan job, 64), news: make(chan news, 64)}
	x := &looker{Config: cfg, clerk: c, metrics: m, machine: handover.Machine{Slots: uint32(cfg.Slots)},
		session: number(), plans: map[handover.Board]plan{}, seen: map[handover.Board]time.Time{}}
	if cfg.Books.Sequence > 0 && cfg.Books.Boot != 0 {
		x.machine.Resume(cfg.Books.Boot, cfg.Books.Taken)
		// What is taken may have been written to the books but not to the PLC.
		x.taken = &news{taken: true, boot: cfg.Books.Boot, count: cfg.Books.Taken}
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		end(c.run(ctx))
	}()
	err := x.run(ctx)
	end(err)
	<-done
	if cause := context.Cause(ctx); err == nil || errors.Is(err, context.Canceled) {
		err = cause
	}
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// number draws a number other than 0.
func number() uint32 {
	var b [4]byte
	_, _ = rand.Read(b[:])
	return binary.LittleEndian.Uint32(b[:]) | 1
}

// plan of a board, and the time it took: in total, and for writing to the books.
type plan struct {
	*ripwrightv1.LinePlan
	took, books time.Duration
}

// looker looks at the PLC.
type looker struct {
	Config
	clerk   *clerk
	metrics *metrics
	machine handover.Machine
	session uint32
	plc     plc.PLC
	life    uint32 // of the PLC, when it last changed
	lived   time.Time
	answers bool // the PLC answers, and its life counter advances
	beat    uint32
	beaten  time.Time
	ready   bool
	plans   map[handover.Board]plan
	seen    map[handover.Board]time.Time
	taken   *news // results to acknowledge as taken
}

func (x *looker) run(ctx context.Context) error {
	defer func() {
		if x.plc != nil {
			_ = x.plc.Close()
		}
	}()
	tick := time.NewTicker(x.Poll)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case n := <-x.clerk.news:
			x.hear(ctx, n)
			continue
		case <-tick.C:
		}
		err := x.look(ctx)
		switch {
		case err == nil:
		case errors.Is(err, ErrSecond):
			return err
		case ctx.Err() != nil:
			return ctx.Err()
		default:
			x.lost(err)
			if err := pause(ctx); err != nil {
				return err
			}
		}
	}
}

// stands records the state of PLC and service, and reports changes.
func (x *looker) stands(connected, ready bool) {
	if connected == x.answers && ready == x.ready {
		return
	}
	x.answers, x.ready = connected, ready
	x.metrics.connected.Set(map[bool]float64{true: 1}[connected])
	x.metrics.ready.Set(map[bool]float64{true: 1}[ready])
	x.Stands(connected, ready)
}

// lost gives up a connection.
func (x *looker) lost(err error) {
	x.Log.Warn("connection to the PLC lost", zap.Error(err))
	x.stands(false, x.ready)
	if x.plc != nil {
		_ = x.plc.Close()
		x.plc = nil
	}
	x.lived = time.Time{}
}

// connect connects, and checks that no other bridge is at work.
func (x *looker) connect(ctx context.Context) error {
	p, err := x.Dial(ctx)
	if err != nil {
		return err
	}
	x.plc = p
	x.metrics.reconnected.Inc()
	x.Log.Info("the PLC is connected")
	if x.Silent {
		return nil
	}
	a, err := p.Read(ctx, contract.BridgeSession, contract.BridgeLife)
	if err != nil {
		return err
	}
	if s := a[contract.BridgeSession].N; s != x.session && s != 0 {
		select {
		case <-time.After(3*x.Beat + 100*time.Millisecond):
		case <-ctx.Done():
			return ctx.Err()
		}
		b, err := p.Read(ctx, contract.BridgeSession, contract.BridgeLife)
		if err != nil {
			return err
		}
		if b[contract.BridgeLife].N != a[contract.BridgeLife].N {
			return ErrSecond
		}
	}
	return p.Write(ctx, plc.Values{contract.BridgeSession: {N: x.session}})
}

// lookWords are read at every look.
var lookWords = []string{contract.Boot, contract.Life, contract.ScanNumber, contract.Accepted, contract.PLCRefused, contract.PLCReason, contract.Results, contract.BridgeSession}

// look looks once, and does what is to be done.
func (x *looker) look(ctx context.Context) error {
	if x.plc == nil {
		if err := x.connect(ctx); err != nil {
			return err
		}
	}
	v, err := x.plc.Read(ctx, lookWords...)
	if err != nil {
		return err
	}
	now := x.Now()
	if s := v[contract.BridgeSession].N; !x.Silent && s != x.session {
		if s != 0 {
			return ErrSecond
		}
		// The PLC has restarted, and lost it.
		if err := x.plc.Write(ctx, plc.Values{contract.BridgeSession: {N: x.session}}); err != nil {
			return err
		}
	}
	if life := v[contract.Life].N; life != x.life || x.lived.IsZero() || now.Before(x.lived) {
		x.life, x.lived = life, now
	}
	if now.Sub(x.lived) > x.Dead {
		x.stands(false, x.ready)
		return nil // no program runs there that would use a plan
	}
	x.machine.Keeps = x.plc.Has(contract.ResultBoot)
	x.stands(true, x.ready)
	s := handover.Seen{Boot: v[contract.Boot].N, Scan: v[contract.ScanNumber].N, Accepted: v[contract.Accepted].N,
		Refused: v[contract.PLCRefused].N, Reason: v[contract.PLCReason].N, Results: v[contract.Results].N}
	for _, a := range x.machine.Look(s) {
		// What fails is repeated, each action by itself.
		err = errors.Join(err, x.do(ctx, a, now))
	}
	return errors.Join(err, x.write(ctx, now, s.Boot))
}

// write writes what is due besides plans.
func (x *looker) write(ctx context.Context, now time.Time, boot uint32) error {
	if x.Silent {
		return nil
	}
	v := plc.Values{}
	if since := now.Sub(x.beaten); x.ready && (since >= x.Beat || since < 0) {
		x.beat++
		x.beaten = now
		v[contract.BridgeLife] = plc.Value{N: x.beat}
	}
	if x.taken != nil && x.taken.boot != boot && !x.machine.Keeps {
		x.taken = nil // the PLC restarts its count
	}
	if x.taken != nil {
		v[contract.ResultsTaken] = plc.Value{N: x.taken.count}
	}
	if len(v) == 0 {
		return nil
	}
	if err := x.plc.Write(ctx, v); err != nil {
		return err
	}
	x.taken = nil
	return nil
}

// hear processes the clerk's news.
func (x *looker) hear(ctx context.Context, n news) {
	switch {
	case n.health:
		x.stands(x.answers, n.well)
	case n.taken:
		x.taken = &n
	default:
		if n.plan != nil {
			x.plans[n.of] = plan{n.plan, n.took, n.books}
		}
		if !x.machine.Answer(n.of, n.answer) && n.plan != nil {
			x.drop(ctx, n.of)
		}
	}
}

// drop counts a board as not cut, since its plan will not be seen.
func (x *looker) drop(ctx context.Context, b handover.Board) {
	delete(x.plans, b)
	delete(x.seen, b)
	x.send(ctx, job{leave: true, of: b})
}

// send gives the clerk a job. If the clerk sends news at the same time, they are
// processed.
func (x *looker) send(ctx context.Context, j job) {
	for {
		select {
		case x.clerk.jobs <- j:
			return
		case n := <-x.clerk.news:
			x.hear(ctx, n)
		case <-ctx.Done():
			return
		}
	}
}
