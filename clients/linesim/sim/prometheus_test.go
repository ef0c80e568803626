//go:build verify

package sim

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// prometheus runs a real one that scrapes these addresses, and gives its own.
func prometheus(t *testing.T, targets ...string) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at := l.Addr().String()
	_ = l.Close() // for Prometheus to listen on
	dir := t.TempDir()
	list, _ := json.Marshal(targets)
	config := fmt.Sprintf("scrape_configs:\n- job_name: ripwright\n  scrape_interval: 500ms\n  scrape_timeout: 400ms\n  static_configs:\n  - targets: %s\n", list)
	path := filepath.Join(dir, "prometheus.yml")
	if err := os.WriteFile(path, []byte(config), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("prometheus", "--config.file="+path, "--storage.tsdb.path="+filepath.Join(dir, "data"),
		"--web.listen-address="+at, "--log.level=error")
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait() // killed
	})
	return "http://" + at
}

// query gives the values of an instant query by one of their labels.
func query(t *testing.T, at, q, label string) map[string]float64 {
	t.Helper()
	r, err := http.Get(at + "/api/v1/query?query=" + url.QueryEscape(q))
	if err != nil {
		return nil // not up yet
	}
	defer func() { _ = r.Body.Close() }()
	var body struct {
		Data struct {
			Result []struct {
				Metric map[string]string
				Value  [2]any
			}
		}
	}
	if err := json.NewDecoder(r.Body).Decode(&body); err != nil {
		return nil
	}
	values := map[string]float64{}
	for _, v := range body.Data.Result {
		values[v.Metric[label]], _ = strconv.ParseFloat(v.Value[1].(string), 64)
	}
	return values
}

// Two lines on two replicas, scraped by a real Prometheus: yield and fill by query
// are those of the runs' own summaries.
func TestPrometheusAgreesWithTheSummaries(t *testing.T) {
	binary := build(t)
	servers := []*replicas.Replica{launch(t, binary), launch(t, binary)}
	defer servers[0].Kill()
	defer servers[1].Kill()
	at := prometheus(t, servers[0].HTTP, servers[1].HTTP)

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
	agrees := func(q, label string, want map[string]float64) bool {
		got := query(t, at, q, label)
		for k, w := range want {
			if math.Abs(got[k]-w) > 1e-9*max(1, w) {
				return false
			}
		}
		return len(got) > 0
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
	// Until the last scrape has it all.
	until := time.Now().Add(20 * time.Second)
	for _, c := range checks {
		for !agrees(c.q, c.label, c.want) {
			if time.Now().After(until) {
				t.Fatalf("%s: %v, want %v", c.q, query(t, at, c.q, c.label), c.want)
			}
			time.Sleep(200 * time.Millisecond)
		}
	}
}
