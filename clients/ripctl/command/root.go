// Package command is ripctl's commands, one file each.
//
// A new command is a file with a function that makes it, and a line in commands.
package command

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/internal/access"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// commands makes the commands, in the order of the help.
var commands = []func(*tool) *cobra.Command{
	solve, check, explain, draw, line, quote, values, arbor, sequence, share, replayed, tally, saws, demo, schema, inForce, version,
}

// tool is what the commands share.
type tool struct {
	in       io.Reader
	out, err io.Writer

	server  string
	access  access.Access
	timeout time.Duration
	wait    time.Duration
	units   string
	json    bool
	csv     bool
}

// serverVariable is the environment variable with the address of the service.
const serverVariable = "RIPCTL_SERVER"

// Run runs ripctl with these arguments and gives its exit status.
func Run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	t := &tool{in: in, out: out, err: errs}
	root := t.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	if err != nil && strings.HasPrefix(err.Error(), "unknown command") {
		err = unknown(root, args)
	}
	if err != nil {
		fmt.Fprintln(errs, "ripctl: "+err.Error())
	}
	return statusOf(err)
}

// unknown is the error for an unknown command, with the nearest known one.
func unknown(root *cobra.Command, args []string) error {
	_, rest, _ := root.Find(args) // the error is known already
	for _, a := range rest {
		if near := root.SuggestionsFor(a); len(near) > 0 {
			return usage("there is no command %q; write ripctl %s", a, near[0])
		}
	}
	return usage("there is no such command; ripctl --help lists the commands")
}

func (t *tool) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "ripctl",
		Short: "Ask a Ripwright service how to rip boards",
		Long: `ripctl asks a Ripwright service how to rip boards.

Lengths carry their units: 44.5mm, 1-3/4in, 12ft 6in, 200 lineal ft; 0 needs none.

A plan is advice. Guards, interlocks and the machine's own limits stay in force;
they, local codes and the people at the saw decide what is sawn.

` + statuses,
		SilenceErrors: true, SilenceUsage: true,
		PersistentPreRunE: func(*cobra.Command, []string) error { return t.ready() },
	}
	at := "127.0.0.1:7420"
	if v := os.Getenv(serverVariable); v != "" {
		at = v
	}
	f := root.PersistentFlags()
	f.StringVar(&t.server, "server", at, "`host:port` of the service's gRPC side; or set $"+serverVariable)
	f.DurationVar(&t.wait, "wait", 0, "how long to wait for a service that does not answer yet")
	f.DurationVar(&t.timeout, "timeout", 30*time.Second, "longest wait for one answer")
	f.StringVar(&t.units, "units", "mm", "what tables and pictures show: `mm or in`")
	f.BoolVar(&t.json, "json", false, "write the service's answers as JSON, one a line, in mm")
	f.BoolVar(&t.csv, "csv", false, "write rows for a spreadsheet, in mm")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage("%w; %s --help lists the flags", err, c.CommandPath())
	})
	accessFlags(f, &t.access)
	if err := root.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]string{"mm", "in"}, cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err) // no such flag
	}
	for _, of := range commands {
		root.AddCommand(of(t))
	}
	return root
}

// ready checks the flags common to all commands.
func (t *tool) ready() error {
	if _, ok := people.Systems[t.units]; !ok {
		return usage("--units is %q; write --units mm or --units in", t.units)
	}
	if t.json && t.csv {
		return usage("--json is set together with --csv; set only one of them")
	}
	if t.wait < 0 {
		return usage("--wait is %s; write a time such as --wait 10s", t.wait)
	}
	if t.timeout <= 0 {
		return usage("--timeout is %s; write a time above 0, such as --timeout 30s", t.timeout)
	}
	return nil
}

func (t *tool) system() people.System { return people.Systems[t.units] }

// noArgs refuses arguments, saying what the command takes instead.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usage("%s does not take %q; %s --help says what it takes", c.CommandPath(), args[0], c.CommandPath())
	}
	return nil
}
