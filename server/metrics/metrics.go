// Package metrics counts what the service does, for Prometheus.
//
// Everything is on a registry that is passed around, not on the global one. What is
// planned and what is cut are counted separately: a plan is no cut.
package metrics

import (
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"

	"github.com/ripwright/ripwright/proto/release"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// Metrics of one server.
type Metrics struct {
	Registry *prometheus.Registry

	requests *prometheus.HistogramVec
	panics   prometheus.Counter
	queue    prometheus.Histogram
	shed     prometheus.Counter
	solving  prometheus.Gauge

	withheld *prometheus.CounterVec

	files    *files
	withKeys atomic.Bool // there is a certificate
	saws     *saws
	items    *items
	lines    *lines
	turned   *turnedAway

	// Plans counts everything but live boards.
	Plans *Plans
}

// New registers all metrics on a new registry. now gives the time at which an order was
// last seen.
func New(now func() time.Time) *Metrics {
	m := &Metrics{
		Registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(timing("ripwright_request_duration_seconds",
			"Time to answer a call, by method and status code. JSON callers are counted here as well."), []string{"method", "code"}),
		panics: prometheus.NewCounter(prometheus.CounterOpts{Name: "ripwright_panics_total",
			Help: "Calls that ended in a panic and were answered with INTERNAL."}),
		queue: prometheus.NewHistogram(timing("ripwright_queue_duration_seconds",
			"Time that a board waited for a free solver.")),
		shed: prometheus.NewCounter(prometheus.CounterOpts{Name: "ripwright_requests_shed_total",
			Help: "Boards refused because too many were waiting."}),
		solving: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_solves_in_progress",
			Help: "Boards being solved now."}),
		withheld: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_plans_withheld_total",
			Help: "Plans that failed the service's own check and were not sent, by the first kind of difference that was found."}, []string{"kind"}),
		saws:   newSaws(now),
		items:  newItems(now),
		lines:  newLines(),
		turned: newTurnedAway(),
		Plans:  newPlans(),
	}
	m.files = newFiles()
	info := prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "ripwright_build_info",
		Help: "Always 1; the labels name the build."}, []string{"version", "revision", "go_version"})
	b := release.Of()
	info.WithLabelValues(b.Version, b.Revision, b.GoVersion).Set(1)
	m.Registry.MustRegister(m.requests, m.panics, m.queue, m.shed, m.solving, m.withheld,
		m.items, m.turned, m.files.reloads, info, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, kind := range withhold.Kinds() {
		m.withheld.WithLabelValues(kind) // at 0 from the start, otherwise no alert sees the first
	}
	m.Registry.MustRegister(m.saws.all()...)
	m.Registry.MustRegister(m.lines.all()...)
	m.Registry.MustRegister(m.Plans.all()...)
	return m
}

// timing has classic buckets from 50 us to 1.6 s, and native ones.
func timing(name, help string) prometheus.HistogramOpts {
	return prometheus.HistogramOpts{
		Name: name, Help: help,
		Buckets:                        prometheus.ExponentialBuckets(50e-6, 2, 16),
		NativeHistogramBucketFactor:    1.1,
		NativeHistogramMaxBucketNumber: 100,
	}
}

// planningTime has classic buckets from 5 ms to 10 s.
func planningTime(name, help string) prometheus.HistogramOpts {
	o := timing(name, help)
	o.Buckets = prometheus.ExponentialBuckets(5e-3, 2, 12)
	return o
}

// Request counts a call that was answered.
func (m *Metrics) Request(method, code string, took time.Duration) {
	m.requests.WithLabelValues(method, code).Observe(took.Seconds())
}

// Panic counts a call that ended in a panic.
func (m *Metrics) Panic() { m.panics.Inc() }

// Withheld counts a plan that failed its check.
func (m *Metrics) Withheld(kind string) { m.withheld.WithLabelValues(kind).Inc() }

// Waited counts a board that got its turn.
func (m *Metrics) Waited(d time.Duration) { m.queue.Observe(d.Seconds()) }

// Shed counts a board that was refused for want of a turn.
func (m *Metrics) Shed() { m.shed.Inc() }

// Room shows what requests and lines hold, and may hold.
func (m *Metrics) Room(held, most func() int64) {
	m.Registry.MustRegister(
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "ripwright_held_bytes",
			Help: "Memory held by requests under way and open lines, estimated from above."}, func() float64 { return float64(held()) }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "ripwright_held_bytes_limit",
			Help: "Memory that requests under way and open lines may hold together."}, func() float64 { return float64(most()) }))
}

// Queue shows how many boards wait for their turn.
func (m *Metrics) Queue(waiting func() int64) {
	m.Registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "ripwright_boards_waiting",
		Help: "Boards that wait for their turn to be solved."}, func() float64 { return float64(waiting()) }))
}

// Solving adds to the boards that are being solved.
func (m *Metrics) Solving(n int) { m.solving.Add(float64(n)) }

// Listed sets how to find out which saws are in the saw file.
func (m *Metrics) Listed(listed func(wire.Mark) bool) {
	m.saws.mu.Lock()
	defer m.saws.mu.Unlock()
	m.saws.listed = listed
}

// Planned counts a caller's board that got a plan.
func (m *Metrics) Planned(caller string, j *wire.Job, r *rip.Result, took time.Duration) {
	m.saws.planned(caller, j.Mark, r, took)
	m.items.planned(caller, j, r.Best)
}
