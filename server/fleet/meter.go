package fleet

import (
	"errors"
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// meter counts readings of the saw file.
type meter struct {
	reloads *prometheus.CounterVec
	last    prometheus.Gauge
	now     func() time.Time
}

// newMeter is called once the file has been read for the first time.
func newMeter(reg prometheus.Registerer, now func() time.Time) (*meter, error) {
	m := &meter{
		reloads: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_saw_file_reloads_total",
			Help: "Reloads of the saw file, by outcome: loaded, or refused, in which case the saws read before stay in service."}, []string{"outcome"}),
		last: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_saw_file_loaded_timestamp_seconds",
			Help: "When the saws in service were read."}),
		now: now,
	}
	for _, outcome := range []string{"loaded", "refused"} {
		m.reloads.WithLabelValues(outcome) // so that the first event is an increase
	}
	m.stamp()
	return m, errors.Join(reg.Register(m.reloads), reg.Register(m.last))
}

func (m *meter) loaded() {
	m.reloads.WithLabelValues("loaded").Inc()
	m.stamp()
}

func (m *meter) refused() { m.reloads.WithLabelValues("refused").Inc() }

func (m *meter) stamp() { m.last.Set(float64(m.now().UnixNano()) / 1e9) }
