package command

import (
	"fmt"

	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// inForce shows what a service has in force, for troubleshooting.
func inForce(t *tool) *cobra.Command {
	var metrics string
	c := &cobra.Command{
		Use:   "status",
		Short: "Show a service's release, saws, settings and load",
		Long: `Says which release a service is and which saws it has, with the fingerprints by
which controllers know them. Beside its metrics it shows the rest: which lines are
open, of which caller and run, with which order and saw, how many boards they had
and when the last answer was; how full the queues are and who fills them; calls,
connections and memory against their limits; what was turned away or withheld,
files that were refused, and when the certificate runs out; and every setting in
force with where it came from.

The metrics of a service at port 7420 are looked for at port 7421 of the same host.
If they are elsewhere, such as at the health address, name it with --metrics;
--metrics="" does not ask for them.`,
		Example: "  ripctl status\n  ripctl status --server mill:7420 --tls-ca ca.pem --token-file token\n  ripctl status --metrics http://127.0.0.1:7422/metrics",
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
			guessed := !c.Flags().Changed("metrics")
			if guessed {
				metrics = t.metricsOf()
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
				return t.more(c.Context(), metrics, guessed)
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
			return t.more(c.Context(), metrics, guessed)
		},
	}
	c.Flags().StringVar(&metrics, "metrics", "", "`URL` of the service's metrics (default: port 7421 beside a service at 7420)")
	return c
}
