package metrics

import (
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// files counts readings of certificates and tokens.
type files struct {
	reloads *prometheus.CounterVec
	expires prometheus.Gauge
}

func newFiles() *files {
	return &files{
		reloads: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_file_reloads_total",
			Help: "Reloads of the TLS and token files, by outcome: loaded, or refused, in which case the files read before stay in force."}, []string{"files", "outcome"}),
		expires: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_certificate_expiry_timestamp_seconds",
			Help: "When the first certificate of the chain in force expires."}),
	}
}

// Certificate makes the metrics show when the certificate in force expires; before it is
// called there is none.
func (m *Metrics) Certificate(until time.Time) {
	if m.withKeys.CompareAndSwap(false, true) {
		m.Registry.MustRegister(m.files.expires)
	}
	m.files.expires.Set(float64(until.Unix()))
}

// Reads makes the files of a name be counted from 0 on, so that their first reading is an
// increase.
func (m *Metrics) Reads(name string) {
	for _, outcome := range []string{"loaded", "refused"} {
		m.files.reloads.WithLabelValues(name, outcome)
	}
}

// Reloaded counts a reading.
func (m *Metrics) Reloaded(name string, loaded bool) {
	outcome := "refused"
	if loaded {
		outcome = "loaded"
	}
	m.files.reloads.WithLabelValues(name, outcome).Inc()
}
