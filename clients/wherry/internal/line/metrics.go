package line

import "github.com/prometheus/client_golang/prometheus"

// metrics of a line.
type metrics struct {
	boards, handed, taken, strange, missed, boots, reconnected prometheus.Counter
	declined, turned, settled                                  *prometheus.CounterVec
	connected, ready                                           prometheus.Gauge
	asked, written, hand                                       prometheus.Histogram
}

var buckets = []float64{.001, .002, .005, .01, .02, .03, .05, .1, .2, .5, 1, 2, 5}

func newMetrics(r prometheus.Registerer) *metrics {
	counter := func(name, help string) prometheus.Counter {
		c := prometheus.NewCounter(prometheus.CounterOpts{Name: "wherry_" + name, Help: help})
		r.MustRegister(c)
		return c
	}
	counters := func(name, help, label string) *prometheus.CounterVec {
		c := prometheus.NewCounterVec(prometheus.CounterOpts{Name: "wherry_" + name, Help: help}, []string{label})
		r.MustRegister(c)
		return c
	}
	gauge := func(name, help string) prometheus.Gauge {
		g := prometheus.NewGauge(prometheus.GaugeOpts{Name: "wherry_" + name, Help: help})
		r.MustRegister(g)
		return g
	}
	histogram := func(name, help string) prometheus.Histogram {
		h := prometheus.NewHistogram(prometheus.HistogramOpts{Name: "wherry_" + name, Help: help, Buckets: buckets})
		r.MustRegister(h)
		return h
	}
	return &metrics{
		boards:      counter("boards_total", "Boards shown by the PLC."),
		handed:      counter("plans_written_total", "Plans whose number was written to the PLC."),
		taken:       counter("plans_accepted_total", "Plans that the PLC accepted."),
		turned:      counters("plans_refused_total", "Plans that the PLC refused, by the number of the check.", "check"),
		declined:    counters("boards_declined_total", "Boards that got no plan, by reason.", "reason"),
		settled:     counters("results_total", "Results reported to the service, by outcome.", "outcome"),
		strange:     counter("results_unknown_total", "Results of boards that awaited none."),
		missed:      counter("results_missed_total", "Results that the PLC overwrote before they were read."),
		boots:       counter("plc_boots_total", "Restarts of the PLC."),
		reconnected: counter("plc_connections_total", "Connections made to the PLC."),
		connected:   gauge("plc_connected", "1 while the PLC answers and its life word counts on."),
		ready:       gauge("ready", "1 while the service answers and the books can be written."),
		asked:       histogram("ask_seconds", "Time from the request to the service until its answer is in the books."),
		written:     histogram("books_seconds", "Part of wherry_ask_seconds that writing request and answer to the books takes."),
		hand:        histogram("scan_to_plan_seconds", "Time from reading a board's number until the plan's number is written."),
	}
}
