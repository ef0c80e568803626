package command

import (
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
	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// inForce tells what a service has in force, for whoever is called at night.
func inForce(t *tool) *cobra.Command {
	var metrics string
	c := &cobra.Command{
		Use:   "status",
		Short: "Say what a service has in force: release, saws, and what it is busy with",
		Long: `Says which release a service is and which saws it has, with the fingerprints by
which controllers know them. With --metrics, where its metrics are shown, also
what it is busy with: open lines, searches and plans, what waits, memory, what was
turned away, files that were refused, and when its certificate runs out; and the
settings in force with where each came from.`,
		Example: "  ripctl status\n  ripctl status --metrics http://127.0.0.1:7421/metrics",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			client := ripwrightv1.NewInfoServiceClient(s.conn)
			plain := func(path string) string { return path }
			info, err := call(c.Context(), t, client.GetServerInfo, &ripwrightv1.GetServerInfoRequest{}, plain)
			if err != nil {
				return err
			}
			var all []*ripwrightv1.ListedSaw
			for token := ""; ; {
				page, err := call(c.Context(), t, client.ListSaws, &ripwrightv1.ListSawsRequest{PageToken: token}, plain)
				if err != nil {
					return err
				}
				all = append(all, page.GetSaws()...)
				if token = page.GetNextPageToken(); token == "" {
					break
				}
			}
			if t.json {
				if err := t.writeJSON(info); err != nil {
					return err
				}
				for _, s := range all {
					if err := t.writeJSON(s); err != nil {
						return err
					}
				}
				return nil
			}
			fmt.Fprintf(t.out, "%s: release %s, requests up to %d bytes\n\n", t.server, info.GetRelease(), info.GetMaxRequestBytes())
			w := newTable(t.out)
			fmt.Fprintln(w, "saw\tarbor\twhole saw")
			for _, s := range all {
				fmt.Fprintf(w, "%s\t%s\t%s\n", s.GetSaw().GetName(), s.GetArborFingerprint(), s.GetSawFingerprint())
			}
			if err := w.Flush(); err != nil {
				return failed(err)
			}
			if metrics == "" {
				return nil
			}
			return t.busy(c.Context(), metrics)
		},
	}
	c.Flags().StringVar(&metrics, "metrics", "", "`URL` of the service's metrics, to say what it is busy with")
	return c
}

// mostMetrics bounds what is read of them.
const mostMetrics = 16 << 20

// busy tells what the metrics say, in people's words.
func (t *tool) busy(ctx context.Context, url string) error {
	ctx, cancel := context.WithTimeout(ctx, t.timeout)
	defer cancel()
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return usage("--metrics is %q: %w; write it as http://127.0.0.1:7421/metrics", url, err)
	}
	web, err := t.access.web(q)
	if err != nil {
		return err
	}
	a, err := web.Do(q)
	if err != nil {
		return coded{fmt.Errorf("the metrics: %w", err), statusServer}
	}
	defer func() { _ = a.Body.Close() }()
	if a.StatusCode != http.StatusOK {
		return coded{fmt.Errorf("the metrics at %s: %s", url, a.Status), statusServer}
	}
	parser := expfmt.NewTextParser(model.LegacyValidation)
	all, err := parser.TextToMetricFamilies(io.LimitReader(a.Body, mostMetrics))
	if err != nil {
		return coded{fmt.Errorf("what is at %s is no metrics: %w", url, err), statusServer}
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "\nwhat\tnow")
	for _, l := range []struct{ what, metric string }{
		{"open lines", "ripwright_lines_open"}, {"searches for boards", "ripwright_solves_in_progress"}, {"boards waiting", "ripwright_boards_waiting"}, {"plans and tallies waiting", "ripwright_plans_waiting"},
		{"plans and tallies", "ripwright_plan_workers_busy"}, {"workers for them", "ripwright_plan_workers"},
		{"bytes held", "ripwright_held_bytes"}, {"bytes that may be", "ripwright_held_bytes_limit"},
		{"calls turned away", "ripwright_turned_away_total"}, {"boards turned away", "ripwright_requests_shed_total"},
		{"plans withheld", "ripwright_plans_withheld_total"}, {"errors of its own", "ripwright_panics_total"},
	} {
		if f := all[l.metric]; f != nil {
			fmt.Fprintf(w, "%s\t%.0f\n", l.what, sum(f, ""))
		}
	}
	refused := sum(all["ripwright_saw_file_reloads_total"], "refused") + sum(all["ripwright_file_reloads_total"], "refused")
	fmt.Fprintf(w, "files refused\t%.0f\n", refused)
	if f := all["ripwright_certificate_expiry_timestamp_seconds"]; f != nil {
		fmt.Fprintf(w, "certificate until\t%s\n", time.Unix(int64(sum(f, "")), 0).UTC().Format(time.RFC3339))
	}
	for _, m := range all["ripwright_build_info"].GetMetric() {
		var labels []string
		for _, l := range m.GetLabel() {
			labels = append(labels, l.GetName()+" "+l.GetValue())
		}
		fmt.Fprintf(w, "build\t%s\n", strings.Join(labels, ", "))
	}
	if err := w.Flush(); err != nil {
		return failed(err)
	}
	return t.settings(ctx, url)
}

// settings tells those in force, which stand beside the metrics.
func (t *tool) settings(ctx context.Context, metrics string) error {
	beside, found := strings.CutSuffix(metrics, "/metrics")
	if !found {
		return nil
	}
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, beside+"/settings", nil)
	if err != nil {
		return failed(err)
	}
	web, err := t.access.web(q)
	if err != nil {
		return err
	}
	a, err := web.Do(q)
	if err != nil {
		return coded{fmt.Errorf("the settings: %w", err), statusServer}
	}
	defer func() { _ = a.Body.Close() }()
	if a.StatusCode == http.StatusNotFound { // an older service
		return nil
	}
	var all []struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
		From  string `json:"from"`
	}
	if err := json.NewDecoder(io.LimitReader(a.Body, mostMetrics)).Decode(&all); err != nil || a.StatusCode != http.StatusOK {
		return coded{fmt.Errorf("the settings at %s/settings: %s", beside, a.Status), statusServer}
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "\nsetting\tvalue\tfrom")
	for _, s := range all {
		if n, is := s.Value.(float64); is { // in full, as it is written
			s.Value = strconv.FormatFloat(n, 'f', -1, 64)
		}
		fmt.Fprintf(w, "%s\t%v\t%s\n", s.Name, s.Value, s.From)
	}
	return failed(w.Flush())
}

// sum adds up a metric's series, those of one outcome where it is said.
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
