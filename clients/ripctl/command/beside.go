package command

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	dto "github.com/prometheus/client_model/go"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
)

// more prints what is at the address of the metrics. If that address is only a guess, it
// is no error that nothing is there.
func (t *tool) more(ctx context.Context, metrics string, guessed bool) error {
	where := "say where with --metrics http://host:port/metrics"
	var err error
	if metrics != "" {
		err = t.busy(ctx, metrics)
	}
	switch {
	case !guessed:
		return err
	case t.json:
		return nil
	case metrics == "":
		_, err = fmt.Fprintln(t.out, "\nlines, queues and settings are served beside the service's metrics; "+where)
	case err != nil:
		_, err = fmt.Fprintf(t.out, "\nlines, queues and settings cannot be shown: %v; %s\n", err, where)
	}
	return failed(err)
}

// mostMetrics limits what is read of them.
const mostMetrics = 16 << 20

// page reads one of a service's pages. found is false if the service has no such page.
func (t *tool) page(ctx context.Context, what, url string) (text []byte, found bool, err error) {
	ctx, cancel := context.WithTimeout(ctx, t.timeout)
	defer cancel()
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return nil, true, usage("--metrics is %q: %w; write it as http://127.0.0.1:7421/metrics", url, err)
	}
	web, err := webOf(&t.access, q)
	if err != nil {
		return nil, true, err
	}
	a, err := web.Do(q)
	if err != nil {
		return nil, true, coded{fmt.Errorf("%s: %w", what, err), statusServer}
	}
	defer func() { _ = a.Body.Close() }()
	if text, err = io.ReadAll(io.LimitReader(a.Body, mostMetrics)); err != nil {
		return nil, true, coded{fmt.Errorf("%s at %s: %w", what, url, err), statusServer}
	}
	if a.StatusCode != http.StatusOK {
		return nil, a.StatusCode != http.StatusNotFound, coded{fmt.Errorf("%s at %s: %s", what, url, a.Status), statusServer}
	}
	return text, true, nil
}

// busy prints what a service is doing, its metrics in people's words, and the settings in
// force.
func (t *tool) busy(ctx context.Context, url string) error {
	metrics, _, err := t.page(ctx, "the metrics", url)
	if err != nil {
		return err
	}
	var doing, settings []byte
	if beside, is := strings.CutSuffix(url, "/metrics"); is {
		// An older service has none of these.
		var found bool
		if doing, found, err = t.page(ctx, "what the service is doing", beside+"/at-work"); err != nil && found {
			return err
		}
		if settings, found, err = t.page(ctx, "the settings", beside+"/settings"); err != nil && found {
			return err
		}
	}
	if t.json {
		for _, text := range [][]byte{doing, settings} {
			if text == nil {
				continue
			}
			if _, err := fmt.Fprintf(t.out, "%s\n", bytes.TrimSpace(text)); err != nil {
				return failed(err)
			}
		}
		return nil
	}
	if doing != nil {
		if err := t.tellWork(doing); err != nil {
			return err
		}
	}
	if err := t.tellMetrics(url, metrics, doing == nil); err != nil || settings == nil {
		return err
	}
	return t.tellSettings(settings)
}

// tellMetrics prints the counts since the service started, such as calls turned away; now
// says that current work is printed too.
func (t *tool) tellMetrics(url string, text []byte, now bool) error {
	parser := expfmt.NewTextParser(model.LegacyValidation)
	all, err := parser.TextToMetricFamilies(bytes.NewReader(text))
	if err != nil {
		return coded{fmt.Errorf("what is at %s is not metrics: %w", url, err), statusServer}
	}
	type row struct{ what, metric string }
	var rows []row
	if now {
		rows = []row{{"open lines", "ripwright_lines_open"}, {"searches for boards", "ripwright_solves_in_progress"}, {"boards waiting", "ripwright_boards_waiting"},
			{"plans and tallies waiting", "ripwright_plans_waiting"}, {"plans and tallies", "ripwright_plan_workers_busy"}, {"workers for them", "ripwright_plan_workers"},
			{"bytes held", "ripwright_held_bytes"}, {"bytes that may be held", "ripwright_held_bytes_limit"}}
	}
	rows = append(rows, row{"calls turned away", "ripwright_turned_away_total"}, row{"boards turned away", "ripwright_requests_shed_total"},
		row{"plans turned away", "ripwright_plans_shed_total"}, row{"plans withheld", "ripwright_plans_withheld_total"},
		row{"internal errors", "ripwright_panics_total"})
	w := newTable(t.out)
	fmt.Fprintln(w, "\nsince the start\tcount")
	for _, l := range rows {
		if f := all[l.metric]; f != nil {
			fmt.Fprintf(w, "%s\t%.0f\n", l.what, sum(f, ""))
		}
	}
	refused := sum(all["ripwright_saw_file_reloads_total"], "refused") + sum(all["ripwright_file_reloads_total"], "refused")
	fmt.Fprintf(w, "files refused\t%.0f\n", refused)
	if f := all["ripwright_boards_recorded_total"]; f != nil {
		fmt.Fprintf(w, "boards not recorded\t%.0f\n", sum(f, "dropped")+sum(f, "failed"))
	}
	if f := all["ripwright_certificate_expiry_timestamp_seconds"]; f != nil {
		fmt.Fprintf(w, "certificate until\t%s\n", time.Unix(int64(sum(f, "")), 0).UTC().Format(time.RFC3339))
	}
	if f := all["ripwright_saw_file_loaded_timestamp_seconds"]; f != nil {
		fmt.Fprintf(w, "saws read\t%s\n", time.Unix(int64(sum(f, "")), 0).UTC().Format(time.RFC3339))
	}
	for _, m := range all["ripwright_build_info"].GetMetric() {
		var labels []string
		for _, l := range m.GetLabel() {
			labels = append(labels, l.GetName()+" "+l.GetValue())
		}
		fmt.Fprintf(w, "build\t%s\n", strings.Join(labels, ", "))
	}
	return failed(w.Flush())
}

// tellSettings prints the settings in force.
func (t *tool) tellSettings(text []byte) error {
	var all []struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
		From  string `json:"from"`
	}
	if err := json.Unmarshal(text, &all); err != nil {
		return coded{fmt.Errorf("the settings: %w", err), statusServer}
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "\nsetting\tvalue\tfrom")
	for _, s := range all {
		if n, is := s.Value.(float64); is { // in full, not in exponents
			s.Value = strconv.FormatFloat(n, 'f', -1, 64)
		}
		fmt.Fprintf(w, "%s\t%v\t%s\n", s.Name, s.Value, s.From)
	}
	return failed(w.Flush())
}

// sum adds up a metric's series, those of one outcome if one is given.
func sum(f *dto.MetricFamily, outcome string) (v float64) {
	for _, m := range f.GetMetric() {
		fits := outcome == ""
		for _, l := range m.GetLabel() {
			fits = fits || l.GetName() == "outcome" && l.GetValue() == outcome
		}
		if fits {
			v += m.GetGauge().GetValue() + m.GetCounter().GetValue() + m.GetUntyped().GetValue()
		}
	}
	return v
}
