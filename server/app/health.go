package app

import (
	"fmt"
	"net/http"
	"net/http/pprof" // nothing here serves the mux that it registers itself with

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/health"
)

// listenForHealth opens the listener that reports only health.
func (a *App) listenForHealth(r *prometheus.Registry) (err error) {
	if a.cfg.Health == "" {
		return nil
	}
	if a.aliveOut, err = health.Listen(a.cfg.Health); err != nil {
		return fmt.Errorf("health: %w", err)
	}
	mux := http.NewServeMux()
	health.Register(mux, a.ready.Load)
	if a.cfg.HealthMetrics {
		mux.Handle("/metrics", health.Read(front.Guarded(front.Metrics(r), a.names()).ServeHTTP))
		mux.Handle("/at-work", health.Read(front.Guarded(a.work.Page(), a.names()).ServeHTTP))
	}
	if a.cfg.HealthMetrics && a.cfg.Settings != nil {
		mux.Handle("/settings", health.Read(front.Guarded(front.Settings(a.cfg.Settings), a.names()).ServeHTTP))
	}
	if a.cfg.HealthProfiles {
		for path, h := range map[string]http.HandlerFunc{"": pprof.Index, "cmdline": pprof.Cmdline, "profile": pprof.Profile, "symbol": pprof.Symbol, "trace": pprof.Trace} {
			mux.Handle("/debug/pprof/"+path, health.Read(front.Guarded(h, a.names()).ServeHTTP))
		}
	}
	a.alive = health.Server(mux)
	a.alive.ErrorLog = webLog(a.log)
	return nil
}

// Health gives the address of the listener for health; empty: there is none.
func (a *App) Health() string {
	if a.aliveOut == nil {
		return ""
	}
	return a.aliveOut.Addr().String()
}
