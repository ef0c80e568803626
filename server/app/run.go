package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"sync/atomic"

	"go.uber.org/zap"
	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/server/secure"
)

// ErrCutOff is the error of a server that ended before all its calls had.
var ErrCutOff = errors.New("calls under way were cut off")

// Run serves until ctx is done and then drains. Readiness goes off at once, but calls are
// taken as before for Config.DrainDelay, since callers need a while to notice. Then the
// listeners close, and calls under way have Config.Drain to end before they are cut off.
// Halt ends both periods.
//
// It returns the first error of a server that failed, otherwise ErrCutOff if anything was
// cut off or Halt was called.
func (a *App) Run(ctx context.Context) error {
	polling, stopPolling := context.WithCancel(context.Background())
	var others sync.WaitGroup
	others.Go(func() { a.saws.Watch(polling, a.cfg.Poll) })
	for _, s := range a.sources() {
		others.Go(func() { secure.Watch(polling, a.cfg.Poll, a.log, a.watch, s) })
	}
	defer others.Wait()
	defer stopPolling()
	if a.alive != nil {
		// To the very end: a service that drains lives.
		others.Go(func() { _ = a.alive.Serve(a.aliveOut) }) // it ends when it is closed
		defer func() { _ = a.alive.Close() }()
	}

	failed := make(chan error, 3)
	serve := func(what string, f func() error) {
		go func() {
			err := f()
			// A server that was stopped before it began returns either of these.
			if err != nil && !errors.Is(err, http.ErrServerClosed) && !errors.Is(err, grpc.ErrServerStopped) {
				err = fmt.Errorf("%s: %w", what, err)
			} else {
				err = nil
			}
			failed <- err
		}()
	}
	serve("grpc", func() error { return a.outer.Serve(a.rpcOut) })
	serve("inner", func() error { return a.inner.Serve(a.pipe) })
	serve("http", func() error {
		if a.cfg.Keys != nil {
			return a.web.ServeTLS(a.webOut, "", "")
		}
		return a.web.Serve(a.webOut)
	})
	at := []zap.Field{zap.String("grpc", a.GRPC()), zap.String("http", a.HTTP())}
	if a.alive != nil {
		at = append(at, zap.String("health", a.Health()))
	}
	a.log.Info("serving", at...)

	var err error
	ended := 0
	select {
	case <-ctx.Done():
	case err = <-failed:
		ended++
	}
	a.ready.Store(false)
	a.health.Shutdown()
	a.log.Info("draining", zap.Duration("delay", a.cfg.DrainDelay), zap.Duration("drain", a.cfg.Drain))
	if ended == 0 {
		select {
		case <-a.after(a.cfg.DrainDelay):
		case <-a.halted.Done():
		case err = <-failed:
			ended++
		}
	}
	whole := a.stop()
	for ; ended < 3; ended++ {
		if e := <-failed; err == nil {
			err = e
		}
	}
	if err == nil && !whole {
		err = ErrCutOff
	}
	return err
}

// Halt cuts a drain short. It may be called at any time, by any goroutine, more than
// once.
func (a *App) Halt() { a.halt() }

// stop closes the listeners and waits for the calls under way, up to a limit. It reports
// whether all of them ended normally.
func (a *App) stop() (whole bool) {
	ctx, cancel := context.WithTimeout(a.halted, a.cfg.Drain)
	defer cancel()
	a.closeNow()
	var cut atomic.Bool
	var sides sync.WaitGroup
	sides.Go(func() { cut.CompareAndSwap(false, !drain(ctx, a.outer)) })
	sides.Go(func() {
		if a.web.Shutdown(ctx) != nil {
			cut.Store(true)
			_ = a.web.Close()
		}
	})
	sides.Wait()
	// Only now: calls that the HTTP side has accepted need it.
	_ = a.conn.Close()
	cut.CompareAndSwap(false, !drain(ctx, a.inner))
	halted := a.halted.Err() != nil
	a.close()
	return !halted && !cut.Load()
}

// drain lets a server's calls end; when ctx is done it cuts them off and returns false.
func drain(ctx context.Context, s *grpc.Server) bool {
	drained := make(chan struct{})
	go func() {
		s.GracefulStop()
		close(drained)
	}()
	select {
	case <-drained:
		return true
	case <-ctx.Done():
		s.Stop()
		<-drained
		return false
	}
}
