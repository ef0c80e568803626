package metrics

import (
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// Plans counts the work that no saw waits for: plans of whole orders and tallies, by the
// call's name.
type Plans struct {
	waiting, running    *prometheus.GaugeVec
	busy, workers       prometheus.Gauge
	shed, short, boards *prometheus.CounterVec
	waited, took        *prometheus.HistogramVec
}

func newPlans() *Plans {
	by := []string{"call"}
	gauge := func(name, help string) *prometheus.GaugeVec {
		return prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: name, Help: help}, by)
	}
	counter := func(name, help string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, by)
	}
	p := &Plans{
		waiting: gauge("ripwright_plans_waiting", "Plans and tallies that wait for a worker, by call."),
		running: gauge("ripwright_plans_running", "Plans and tallies in progress, by call."),
		busy: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_plan_workers_busy",
			Help: "Workers busy with plans and tallies."}),
		workers: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_plan_workers",
			Help: "Workers for plans and tallies."}),
		shed:   counter("ripwright_plans_shed_total", "Plans and tallies refused because too many were waiting, by call."),
		short:  counter("ripwright_plans_cut_short_total", "Plans that a time limit ended before they were complete, by call."),
		boards: counter("ripwright_plan_boards_solved_total", "Boards solved for plans, by call."),
		waited: prometheus.NewHistogramVec(long("ripwright_plan_queue_duration_seconds",
			"Time that a plan or a tally waited for a worker, by call."), by),
		took: prometheus.NewHistogramVec(long("ripwright_plan_duration_seconds",
			"Time that a plan or a tally was worked on, waiting not included, by call."), by),
	}
	// A rate needs a first value, before the first call that is counted.
	for _, call := range planCalls {
		for _, c := range []*prometheus.CounterVec{p.shed, p.short, p.boards} {
			c.WithLabelValues(call)
		}
		p.waited.WithLabelValues(call)
		p.took.WithLabelValues(call)
		p.waiting.WithLabelValues(call)
		p.running.WithLabelValues(call)
	}
	return p
}

var planCalls = []string{"PlanValues", "QuoteOrder", "WatchQuote", "PlanArbor", "SequenceOrders", "ShareOrder", "TallyPack", "RunLine"}

func (p *Plans) all() []prometheus.Collector {
	return []prometheus.Collector{p.waiting, p.running, p.busy, p.workers, p.shed, p.short, p.boards, p.waited, p.took}
}

// long has classic buckets from 1 ms to about 17 minutes, and native ones.
func long(name, help string) prometheus.HistogramOpts {
	o := timing(name, help)
	o.Buckets = prometheus.ExponentialBuckets(1e-3, 4, 11)
	return o
}

// Have sets the number of workers.
func (p *Plans) Have(workers int) { p.workers.Set(float64(workers)) }

// Queued adds to the calls that wait.
func (p *Plans) Queued(call string, n int) { p.waiting.WithLabelValues(call).Add(float64(n)) }

// Working adds to the calls in progress.
func (p *Plans) Working(call string, n int) { p.running.WithLabelValues(call).Add(float64(n)) }

// Busy adds to the busy workers.
func (p *Plans) Busy(n int) { p.busy.Add(float64(n)) }

// TurnedAway counts a call that could not wait.
func (p *Plans) TurnedAway(call string) { p.shed.WithLabelValues(call).Inc() }

// Began counts a call that got its worker.
func (p *Plans) Began(call string, waited time.Duration) {
	p.waited.WithLabelValues(call).Observe(waited.Seconds())
}

// Ended counts a call after its work, however it ended.
func (p *Plans) Ended(call string, took time.Duration) {
	p.took.WithLabelValues(call).Observe(took.Seconds())
}

// Solved counts the boards that were solved for a call.
func (p *Plans) Solved(call string, boards int64) {
	p.boards.WithLabelValues(call).Add(float64(boards))
}

// CutShort counts a call that a time limit ended.
func (p *Plans) CutShort(call string) { p.short.WithLabelValues(call).Inc() }
