package metrics

import (
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
)

// Orders come and go and callers choose their ids, so the series by item are bounded in
// number, by caller and by kind of callers. An order that was not seen for a day has
// none; one that was not seen for a quarter of an hour gives way to a new one. What finds
// no room counts as the order other.
const (
	itemsOfCaller = 1000
	itemsOfKind   = 3000
	orderIdle     = 15 * time.Minute
	orderKept     = 24 * time.Hour
)

// rest is the item of everything without a series, of the order without a name.
const rest = other

// orderSeries are an order's items by their ids.
type orderSeries map[string]*itemSeries

type itemSeries struct {
	length         float64 // planned strip length in m
	cut            float64 // the same of strips that were cut
	measure        order.Measure
	required, made float64
	// Of limited crosscut lengths, in pieces: a surplus of one length fills no other.
	crosscut                 bool
	cutsRequired, cutsOfThem int64
}

// items collects the series by order and item. A scrape sees one moment.
type items struct {
	now func() time.Time

	mu     sync.Mutex
	orders *shares[string, orderSeries]
	// Strip lengths in m that have no series.
	other, otherCut float64

	length, cutLength, seen    *prometheus.Desc
	required, made             map[order.Measure]*prometheus.Desc
	cutsRequired, cutsOfThemIs *prometheus.Desc
}

func newItems(now func() time.Time) *items {
	by := []string{"order", "item"}
	desc := func(what, help string) map[order.Measure]*prometheus.Desc {
		// An item without a requirement has no series.
		//exhaustive:ignore
		of := map[order.Measure]*prometheus.Desc{
			order.ByLength: prometheus.NewDesc("ripwright_order_"+what+"_length_meters", help+", for items counted in length.", by, nil),
			order.ByArea:   prometheus.NewDesc("ripwright_order_"+what+"_area_square_meters", help+", for items counted in area.", by, nil),
			order.ByPieces: prometheus.NewDesc("ripwright_order_"+what+"_pieces", help+", for items counted in pieces.", by, nil),
		}
		return of
	}
	const required, made = "Required by the order, as last sent", "Made of the order: confirmed on a live line, else as last sent"
	return &items{
		now:    now,
		orders: newShares[string, orderSeries](itemsOfCaller, itemsOfKind, orderIdle),
		length: prometheus.NewDesc("ripwright_planned_strip_length_meters_total",
			"Counted length of planned strips, by order and item; only of orders seen lately; all others are under other.", by, nil),
		cutLength: prometheus.NewDesc("ripwright_cut_strip_length_meters_total",
			"Length of strips that were cut, by order and item; only of orders seen lately; all others are under other.", by, nil),
		seen: prometheus.NewDesc("ripwright_order_seen_timestamp_seconds",
			"Time of the order's last board or confirmation. Of several replicas the one with the latest has the present fill.", by[:1], nil),
		required: desc("required", required),
		made:     desc("made", made),
		cutsRequired: prometheus.NewDesc("ripwright_order_required_cut_pieces",
			required+", for items with crosscut lengths: pieces of all lengths that are limited.", by, nil),
		cutsOfThemIs: prometheus.NewDesc("ripwright_order_made_cut_pieces",
			made+", for items with crosscut lengths: pieces of all lengths that are limited, of each no more than are required.", by, nil),
	}
}

// stand records how an order stands. s.mu is held.
func (s *items) stand(caller, id string, all []order.Item) orderSeries {
	now := s.now()
	more := 0
	if h := s.orders.held[id]; h == nil {
		more = len(all)
	} else {
		for i := range all {
			more += one(h.of[all[i].ID] == nil)
		}
	}
	h, fits := s.orders.use(id, more, caller, now)
	if h == nil {
		return nil
	}
	if h.of == nil {
		h.of = make(orderSeries, len(all))
	}
	for i := range all {
		it := &all[i]
		e := h.of[it.ID]
		if e == nil {
			if !fits || id == "" && it.ID == rest {
				continue
			}
			e = &itemSeries{}
			h.of[it.ID] = e
		}
		e.stand(it)
	}
	return h.of
}

func (e *itemSeries) stand(it *order.Item) {
	e.measure = it.Measure
	e.required, e.made = amounts(it)
	e.crosscut, e.cutsRequired, e.cutsOfThem = false, 0, 0
	for i := range it.Cuts {
		if c := &it.Cuts[i]; c.Limited {
			e.crosscut = true
			e.cutsRequired += c.Required
			e.cutsOfThem += min(c.Made, c.Required)
		}
	}
}

// amounts gives what is required and made in the unit of its gauge.
func amounts(it *order.Item) (required, made float64) {
	scale := 1.0
	switch it.Measure {
	case order.ByLength:
		scale = 1e6
	case order.ByArea:
		scale = 1e12
	case order.ByPieces, order.Unlimited:
	}
	return float64(it.Required) / scale, float64(it.Made) / scale
}

// planned counts the strips of a plan.
func (s *items) planned(caller string, j *wire.Job, p *rip.Plan) {
	s.mu.Lock()
	defer s.mu.Unlock()
	of := s.stand(caller, j.OrderID, j.Problem.Items[:j.Own()])
	for i := range p.Pockets {
		pk := &p.Pockets[i]
		if pk.Item == rip.None {
			continue
		}
		order, id := j.Named(pk.Item)
		if e := s.series(of, order)[id]; e != nil {
			e.length += pk.Counted.Metres()
		} else {
			s.other += pk.Counted.Metres()
		}
	}
}

// series are those of an order if it is known, own if it is not named. s.mu is held.
func (s *items) series(own orderSeries, order string) orderSeries {
	if order == "" {
		return own
	}
	if h := s.orders.held[order]; h != nil {
		return h.of
	}
	return nil
}

// cut counts the strips that came out.
func (s *items) cut(c *run.Settled) {
	s.mu.Lock()
	defer s.mu.Unlock()
	own := s.series(nil, c.Held.Order)
	for i := range c.Way.Strips {
		strip := &c.Way.Strips[i]
		if e := s.series(own, strip.Order)[strip.Item]; strip.Item != "" && e != nil {
			e.cut += strip.Length.Metres()
		} else {
			s.otherCut += strip.Length.Metres()
		}
	}
}

// Describe implements prometheus.Collector.
func (s *items) Describe(ch chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{s.length, s.cutLength, s.seen, s.cutsRequired, s.cutsOfThemIs} {
		ch <- d
	}
	for _, d := range s.required {
		ch <- d
	}
	for _, d := range s.made {
		ch <- d
	}
}

// Collect implements prometheus.Collector. It first drops orders not seen for long.
func (s *items) Collect(ch chan<- prometheus.Metric) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.orders.unseen(s.now().Add(-orderKept))
	put := func(d *prometheus.Desc, kind prometheus.ValueType, v float64, by ...string) {
		ch <- prometheus.MustNewConstMetric(d, kind, v, by...)
	}
	for id, h := range s.orders.held {
		put(s.seen, prometheus.GaugeValue, float64(h.seen.UnixMilli())/1000, id)
		for item, e := range h.of {
			put(s.length, prometheus.CounterValue, e.length, id, item)
			put(s.cutLength, prometheus.CounterValue, e.cut, id, item)
			if d := s.required[e.measure]; d != nil {
				put(d, prometheus.GaugeValue, e.required, id, item)
				put(s.made[e.measure], prometheus.GaugeValue, e.made, id, item)
			}
			if e.crosscut {
				put(s.cutsRequired, prometheus.GaugeValue, float64(e.cutsRequired), id, item)
				put(s.cutsOfThemIs, prometheus.GaugeValue, float64(e.cutsOfThem), id, item)
			}
		}
	}
	// stand reserves this key: no caller's item has it.
	put(s.length, prometheus.CounterValue, s.other, "", rest)
	put(s.cutLength, prometheus.CounterValue, s.otherCut, "", rest)
}
