// Command stacker shows the stacker at the outfeed which strips come out of the saw and
// where each one goes. It sits between the line's program and the service: the line
// connects to it instead of to the service, and everything is passed on unchanged. A
// browser shows the screen.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/pflag"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"

	"github.com/ripwright/ripwright/clients/internal/access"
	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	"github.com/ripwright/ripwright/clients/stacker/screen"
	"github.com/ripwright/ripwright/clients/stacker/tee"
	"github.com/ripwright/ripwright/proto/codec"
	"github.com/ripwright/ripwright/proto/site"
)

type flags struct {
	service, line, http string
	tls, plaintext      bool
	ca, units, fence    string
	show, hosts         string
	stale               time.Duration
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := start(ctx, os.Args[1:], os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// start reads the arguments and runs until ctx is done. It prints to out where the line
// and the browser connect.
func start(ctx context.Context, args []string, out io.Writer) error {
	var f flags
	fs := f.set()
	switch err := fs.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return nil
	case err != nil:
		return err
	case fs.NArg() > 0:
		return fmt.Errorf("unexpected argument %q; stacker takes only flags, see --help", fs.Arg(0))
	}
	if err := f.check(); err != nil {
		return err
	}
	return f.run(ctx, out)
}

func (f *flags) set() *pflag.FlagSet {
	fs := pflag.NewFlagSet("stacker", pflag.ContinueOnError)
	fs.SortFlags = false
	fs.StringVar(&f.service, "service", "127.0.0.1:7420", "the service's gRPC address, `HOST:PORT`")
	fs.StringVar(&f.line, "grpc", "127.0.0.1:7430", "address to which the line connects, `HOST:PORT`")
	fs.StringVar(&f.http, "http", "127.0.0.1:7431", "address of the screen, `HOST:PORT`")
	fs.StringVar(&f.hosts, "hosts", "", "further `names` by which browsers may call the screen, separated by commas; addresses and localhost are always allowed")
	fs.StringVar(&f.show, "show", string(outfeed.AtConfirmation), "the `board` to show: confirmed (the last one confirmed) or planned (the one that has waited longest for its confirmation)")
	fs.DurationVar(&f.stale, "stale", time.Minute, "time after which a board is no longer shown, 1s to 1h")
	fs.StringVar(&f.units, "units", "mm", "unit of widths, `mm or in`")
	fs.StringVar(&f.fence, "fence", "left", "side of the fence as the stacker sees it, `left or right`")
	fs.BoolVar(&f.tls, "tls", false, "use TLS to the service and trust the certificate authorities of this machine")
	fs.StringVar(&f.ca, "tls-ca", "", "use TLS to the service and trust the certificate authorities in this PEM `file`")
	fs.BoolVar(&f.plaintext, "plaintext", false, "allow addresses beyond this machine without TLS, where a network of your own protects them")
	return fs
}

// check reports everything that is wrong with the flags.
func (f *flags) check() error {
	var all []error
	wrong := func(format string, args ...any) { all = append(all, fmt.Errorf(format, args...)) }
	if f.show != string(outfeed.AtConfirmation) && f.show != string(outfeed.BeforeConfirmation) {
		wrong("--show is %q; must be confirmed or planned", f.show)
	}
	if !site.Valid(f.hosts) {
		wrong("--hosts is %q; must be names such as outfeed.plant.example, separated by commas", f.hosts)
	}
	if f.units != "mm" && f.units != "in" {
		wrong("--units is %q; must be mm or in", f.units)
	}
	if f.fence != "left" && f.fence != "right" {
		wrong("--fence is %q; must be left or right", f.fence)
	}
	if f.stale < time.Second || f.stale > time.Hour {
		wrong("--stale is %v; must be 1s to 1h", f.stale)
	}
	for _, a := range []struct {
		name, at string
		secured  bool
	}{{"--service", f.service, f.tls || f.ca != ""}, {"--grpc", f.line, false}, {"--http", f.http, false}} {
		host, _, err := net.SplitHostPort(a.at)
		ip := net.ParseIP(host)
		switch {
		case err != nil:
			wrong("%s is %q; must be HOST:PORT, such as 127.0.0.1:7430", a.name, a.at)
		case host != "localhost" && (ip == nil || !ip.IsLoopback()) && !a.secured && !f.plaintext:
			wrong("%s is %q, beyond this machine and without TLS; add --plaintext if a network of your own protects it", a.name, a.at)
		}
	}
	return errors.Join(all...)
}

func (f *flags) run(ctx context.Context, out io.Writer) error {
	creds, err := f.credentials()
	if err != nil {
		return err
	}
	codec.Register()
	conn, err := grpc.NewClient(f.service, grpc.WithTransportCredentials(creds))
	if err != nil {
		return fmt.Errorf("--service: %w", err)
	}
	defer func() { _ = conn.Close() }()
	seen := screen.New(screen.Config{When: outfeed.When(f.show), Stale: f.stale, Inches: f.units == "in", FenceLeft: f.fence == "left", Now: time.Now})
	line, err := net.Listen("tcp", f.line)
	if err != nil {
		return fmt.Errorf("--grpc: %w", err)
	}
	at, err := net.Listen("tcp", f.http)
	if err != nil {
		_ = line.Close()
		return fmt.Errorf("--http: %w", err)
	}
	between := tee.New(conn, seen)
	web := &http.Server{Handler: site.Guard(seen.Handler(), f.names()), ReadHeaderTimeout: 5 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 16 << 10}
	failed := make(chan error, 2)
	go func() { failed <- between.Serve(line) }()
	go func() { failed <- web.Serve(at) }()
	fmt.Fprintf(out, "the line connects to %s; the screen is http://%s/\n", line.Addr(), at.Addr())
	select {
	case <-ctx.Done():
		err = nil
	case err = <-failed:
	}
	between.Stop() // a line continues elsewhere from its last answer
	_ = web.Close()
	return err
}

// names are the host names by which browsers may call the screen: pages of other sites
// get nothing of it, by whatever name they reach it.
func (f *flags) names() site.Names {
	n := site.Names{Own: site.Split(f.hosts)}
	if host, _, err := net.SplitHostPort(f.http); err == nil && host != "" && net.ParseIP(host) == nil {
		n.Own = append(n.Own, strings.ToLower(host))
	}
	return n
}

// credentials towards the service.
func (f *flags) credentials() (credentials.TransportCredentials, error) {
	c, err := (&access.Access{TLS: f.tls, CA: f.ca}).Transport()
	if err != nil {
		return nil, fmt.Errorf("--tls-ca: %w", err)
	}
	return c, nil
}
