//go:build verify

package sim

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/prometheus"
	"github.com/ripwright/ripwright/clients/internal/replicas"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Two lines on two replicas, scraped by a real Prometheus: yield and fill by query equal
// those of the runs' own summaries.
func TestPrometheusAgreesWithTheSummaries(t *testing.T) {
	binary := build(t)
	servers := []*replicas.Replica{launch(t, binary), launch(t, binary)}
	defer servers[0].Kill()
	defer servers[1].Kill()
	p := prometheus.Start(t, fmt.Sprintf(`
scrape_configs:
  - job_name: ripwright
    scrape_interval: 500ms
    scrape_timeout: 400ms
    static_configs:
      - targets: [%q, %q]
`, servers[0].HTTP, servers[1].HTTP))

	var face, strip, boards float64
	length, made := map[string]float64{}, map[string]float64{}
	for i, s := range servers {
		setUp := SetUp(fmt.Sprint("scraped ", i))
		setUp.Order.OrderId = fmt.Sprint("order-", i)
		r, err := Run(t.Context(), Config{Seed: uint64(i), Boards: 60, SetUp: setUp, Patience: time.Minute,
			Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return dial(s.GRPC) }})
		sound(t, r, err, 60)
		face += r.Summary.GetAccount().GetFaceM2()
		strip += r.Summary.GetAccount().GetStripM2()
		for _, o := range r.Summary.GetOutcomes() {
			boards += float64(o.GetBoards())
		}
		for _, it := range r.Summary.GetItems() {
			if it.GetItemId() == "" {
				length["other"] += it.GetLengthM()
				continue
			}
			length[it.GetItemId()] += it.GetLengthM()
			if it.GetItemId() == "stile" || it.GetItemId() == "rail" || it.GetItemId() == "lip" {
				made[it.GetItemId()] += it.GetLengthM()
			}
		}
	}
	checks := []struct {
		q, label string
		want     map[string]float64
	}{
		{`sum(ripwright_cut_face_area_square_meters_total{use="strip"}) / sum(ripwright_cut_face_area_square_meters_total)`, "", map[string]float64{"": strip / face}},
		{`sum(ripwright_cut_face_area_square_meters_total)`, "", map[string]float64{"": face}},
		{`sum(ripwright_boards_cut_total)`, "", map[string]float64{"": boards}},
		{`sum by (item) (ripwright_cut_strip_length_meters_total)`, "item", length},
		{`sum by (item) (max by (order, item) (ripwright_order_made_length_meters))`, "item", made},
	}
	for _, c := range checks {
		p.Until(fmt.Sprintf("%s is %v (the last scrape has it all)", c.q, c.want), func() bool {
			got := p.By(c.label, c.q)
			for k, w := range c.want {
				if math.Abs(got[k]-w) > 1e-9*max(1, w) {
					return false
				}
			}
			return len(got) > 0
		})
	}
}
