package line

import (
	"context"
	"errors"
	"strconv"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// do performs an action of the hand-over.
func (x *looker) do(ctx context.Context, a handover.Act, now time.Time) error {
	switch a.Kind {
	case handover.Fetch:
		return x.fetch(ctx, a.Board, now)
	case handover.Hand:
		return x.hand(ctx, a.Board)
	case handover.Decline:
		return x.decline(ctx, a.Board, contract.Reason(a.Reason))
	case handover.Leave:
		x.drop(ctx, a.Board)
	case handover.Taken:
		x.metrics.taken.Inc()
		x.Log.Debug("the PLC has accepted a plan", zap.Uint32("number", a.Board.Number))
	case handover.Turned:
		x.metrics.turned.WithLabelValues(strconv.FormatUint(uint64(a.Reason), 10)).Inc()
		x.Log.Warn("the PLC has refused a plan", zap.Uint32("number", a.Board.Number), zap.Uint32("check", a.Reason))
	case handover.Collect:
		return x.collect(ctx, a)
	case handover.Restarted:
		x.metrics.boots.Inc()
		x.Log.Warn("the PLC has restarted", zap.Uint32("boot", a.Board.Boot))
	case handover.Missed:
		x.missed(a.N)
	}
	return nil
}

func (x *looker) missed(n uint32) {
	x.metrics.missed.Add(float64(n))
	x.Log.Error("results were overwritten before they were read", zap.Uint32("results", n))
}

// fetch reads a board and requests its plan.
func (x *looker) fetch(ctx context.Context, b handover.Board, now time.Time) error {
	x.metrics.boards.Inc()
	x.seen[b] = now
	v, err := x.plc.Read(ctx, scanWords(x.plc.Has)...)
	var q *plc.Quality
	switch {
	case errors.As(err, &q):
		x.Log.Warn("a board cannot be read", zap.Uint32("number", b.Number), zap.Error(err))
		x.machine.Answer(b, handover.Answer{Reason: contract.BadQuality})
		return nil
	case err != nil:
		x.machine.Unread(b)
		return err
	case v[contract.Boot].N != b.Boot || v[contract.ScanNumber].N != b.Number:
		return nil // it has left: the next look reports it
	}
	board, reason := scanned(v, b)
	if reason != 0 {
		x.Log.Warn("a scan is not valid", zap.Uint32("number", b.Number), zap.Stringer("reason", reason))
		x.machine.Answer(b, handover.Answer{Reason: reason})
		return nil
	}
	x.send(ctx, job{board: board, of: b})
	return nil
}

// hand writes a plan, reads the number again, and writes the plan's number.
func (x *looker) hand(ctx context.Context, b handover.Board) error {
	p := x.plans[b]
	if x.Silent {
		x.drop(ctx, b)
		return nil
	}
	words, reason := planWords(p.LinePlan, x.plc.Has, x.plc.Entries)
	if reason != 0 {
		x.machine.Instead(b, handover.Answer{Reason: reason})
		return nil
	}
	again, err := x.handed(ctx, b, words)
	if again || err != nil {
		x.machine.Again(b)
		return err
	}
	x.metrics.handed.Inc()
	since := max(x.Now().Sub(x.seen[b]), 0)
	x.metrics.hand.Observe(since.Seconds())
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	x.Log.Info("plan written", zap.Uint32("boot", b.Boot), zap.Uint32("number", b.Number), zap.Float64("ms", ms(since)),
		zap.Float64("asking_ms", ms(p.took-p.books)), zap.Float64("books_ms", ms(p.books)))
	delete(x.plans, b)
	delete(x.seen, b)
	return nil
}

// handed writes a plan and its number, unless another board is shown by then.
func (x *looker) handed(ctx context.Context, b handover.Board, words plc.Values) (gone bool, err error) {
	if err := x.plc.Write(ctx, words); err != nil {
		return false, err
	}
	v, err := x.plc.Read(ctx, contract.Boot, contract.ScanNumber)
	if err != nil {
		return false, err
	}
	if v[contract.Boot].N != b.Boot || v[contract.ScanNumber].N != b.Number {
		return true, nil
	}
	x.machine.Tried(b)
	return false, x.plc.Write(ctx, plc.Values{contract.PlanNumber: {N: b.Number}})
}

// decline writes to the PLC that a board gets no plan.
func (x *looker) decline(ctx context.Context, b handover.Board, r contract.Reason) error {
	if _, ok := x.plans[b]; ok { // one that must not be cut
		x.drop(ctx, b)
	}
	if !x.Silent {
		err := x.plc.Write(ctx, plc.Values{contract.DeclinedReason: {N: uint32(r)}})
		if err == nil {
			err = x.plc.Write(ctx, plc.Values{contract.Declined: {N: b.Number}})
		}
		if err != nil {
			x.machine.Again(b)
			return err
		}
	}
	x.metrics.declined.WithLabelValues(r.String()).Inc()
	delete(x.seen, b)
	return nil
}

// collect reads results and passes them on to the books.
func (x *looker) collect(ctx context.Context, a handover.Act) error {
	if x.Silent {
		return nil
	}
	v, err := x.plc.Read(ctx, resultWords(x.plc.Has)...)
	if err != nil {
		x.machine.Uncollected(a)
		return err
	}
	if v[contract.Boot].N != a.Board.Boot {
		x.machine.Uncollected(a)
		return nil
	}
	l, missed, err := results(v, a.From, a.N, x.Slots)
	if err != nil {
		x.machine.Uncollected(a)
		return err
	}
	if missed > 0 {
		x.missed(missed)
	}
	x.send(ctx, job{collect: true, boot: a.Board.Boot, taken: a.From + a.N, results: l})
	return nil
}
