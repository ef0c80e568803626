package metrics

import (
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
)

// Orders come and go and their ids are the callers', so the series by item are
// bounded: those not seen for a while are dropped, and what comes when there
// are too many goes to one called other.
const (
	maxItems  = 1000
	idleAfter = 15 * time.Minute
)

type itemKey struct{ order, item string }

// rest is the key of what has no series of its own.
var rest = itemKey{"", "other"}

type itemSeries struct {
	seen           time.Time
	length         float64 // planned strip length in m
	cut            float64 // the same of strips that were cut
	measure        order.Measure
	required, made float64
}

// items collects the series by order and item. A scrape sees one moment.
type items struct {
	now func() time.Time

	mu     sync.Mutex
	series map[itemKey]*itemSeries
	// Strip lengths in m that have no series of their own.
	other, otherCut float64

	length, cutLength *prometheus.Desc
	required, made    map[order.Measure]*prometheus.Desc
}

func newItems(now func() time.Time) *items {
	by := []string{"order", "item"}
	desc := func(what, help string) map[order.Measure]*prometheus.Desc {
		return map[order.Measure]*prometheus.Desc{
			order.ByLength: prometheus.NewDesc("ripwright_order_"+what+"_length_meters", help+", for items counted in length.", by, nil),
			order.ByArea:   prometheus.NewDesc("ripwright_order_"+what+"_area_square_meters", help+", for items counted in area.", by, nil),
			order.ByPieces: prometheus.NewDesc("ripwright_order_"+what+"_pieces", help+", for items counted in pieces.", by, nil),
		}
	}
	return &items{
		now:    now,
		series: map[itemKey]*itemSeries{},
		length: prometheus.NewDesc("ripwright_planned_strip_length_meters_total",
			"Counted length of planned strips, by order and item; only of orders seen lately, the rest under other.", by, nil),
		cutLength: prometheus.NewDesc("ripwright_cut_strip_length_meters_total",
			"Length of strips that were cut, by order and item; only of orders seen lately, the rest under other.", by, nil),
		required: desc("required", "What the order wants, as last sent"),
		made:     desc("made", "What is made: confirmed on a live line, else as last sent"),
	}
}

func (s *items) see(j *wire.Job, p *rip.Plan) {
	now := s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range j.Problem.Items {
		it := &j.Problem.Items[i]
		if e := s.entry(itemKey{j.OrderID, it.ID}, now); e != nil {
			e.measure = it.Measure
			e.required, e.made = amounts(it)
		}
	}
	for i := range p.Pockets {
		pk := &p.Pockets[i]
		if pk.Item == rip.None {
			continue
		}
		if e := s.series[itemKey{j.OrderID, j.Problem.Items[pk.Item].ID}]; e != nil {
			e.length += pk.Counted.Metres()
		} else {
			s.other += pk.Counted.Metres()
		}
	}
}

// entry gives the series for a key, or nil where there are too many.
func (s *items) entry(k itemKey, now time.Time) *itemSeries {
	e := s.series[k]
	if e == nil {
		if len(s.series) >= maxItems || k == rest {
			return nil
		}
		e = &itemSeries{}
		s.series[k] = e
	}
	e.seen = now
	return e
}

// Describe implements prometheus.Collector.
func (s *items) Describe(ch chan<- *prometheus.Desc) {
	ch <- s.length
	ch <- s.cutLength
	for _, d := range s.required {
		ch <- d
	}
	for _, d := range s.made {
		ch <- d
	}
}

// Collect implements prometheus.Collector. Series that are idle go first.
func (s *items) Collect(ch chan<- prometheus.Metric) {
	now := s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for k, e := range s.series {
		if now.Sub(e.seen) > idleAfter {
			delete(s.series, k)
			continue
		}
		ch <- prometheus.MustNewConstMetric(s.length, prometheus.CounterValue, e.length, k.order, k.item)
		ch <- prometheus.MustNewConstMetric(s.cutLength, prometheus.CounterValue, e.cut, k.order, k.item)
		if d := s.required[e.measure]; d != nil {
			ch <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, e.required, k.order, k.item)
			ch <- prometheus.MustNewConstMetric(s.made[e.measure], prometheus.GaugeValue, e.made, k.order, k.item)
		}
	}
	// entry keeps this key free of callers' items.
	ch <- prometheus.MustNewConstMetric(s.length, prometheus.CounterValue, s.other, rest.order, rest.item)
	ch <- prometheus.MustNewConstMetric(s.cutLength, prometheus.CounterValue, s.otherCut, rest.order, rest.item)
}
