// Command standin is a PLC in memory that shows boards from a file by Modbus/TCP, for the
// guide to the bridge. It moves nothing.
//
//	standin --words
//	standin --at 127.0.0.1:15020 out/mill/boards.jsonl
package main

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/registers"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func main() {
	if err := command().Execute(); err != nil {
		fmt.Fprintln(os.Stderr, "standin:", err)
		os.Exit(1)
	}
}

func command() *cobra.Command {
	var at string
	var words bool
	var hold time.Duration
	c := &cobra.Command{Use: "standin [boards.jsonl]", Short: "Run a stand-in PLC that shows boards by Modbus/TCP", Args: cobra.MaximumNArgs(1), SilenceUsage: true, SilenceErrors: true}
	c.Flags().StringVar(&at, "at", "127.0.0.1:15020", "loopback address to listen on")
	c.Flags().BoolVar(&words, "words", false, "print the words of the mapping, and exit")
	c.Flags().DurationVar(&hold, "hold", 2*time.Second, "time that a board waits for its plan")
	c.RunE = func(c *cobra.Command, args []string) error {
		p := standin.New(1, 1)
		s := registers.New(p)
		if words {
			for _, w := range contract.Words {
				if a, ok := s.Words[w.Name]; ok {
					fmt.Fprintf(c.OutOrStdout(), "  %s: %s\n", w.Name, a)
				}
			}
			return nil
		}
		if len(args) == 0 {
			return errors.New("a file of boards is needed")
		}
		host, _, err := net.SplitHostPort(at)
		if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsLoopback() {
			return fmt.Errorf("--at is %q; must be a loopback address, since whoever reaches the stand-in can write to it", at)
		}
		boards, err := read(args[0])
		if err != nil {
			return err
		}
		end, err := s.Open(at)
		if err != nil {
			return fmt.Errorf("--at: %w", err)
		}
		defer end()
		return show(c.OutOrStdout(), p, boards, hold)
	}
	return c
}

// read gives the boards of a file.
func read(name string) (l []standin.Scan, err error) {
	f, err := files.Open(name, files.Boards, nil)
	if err != nil {
		return nil, err
	}
	for i := range f.Messages {
		b := &ripwrightv1.Board{}
		if err := f.Into(i, b); err != nil {
			return nil, err
		}
		s := standin.Scan{Length: b.GetLengthMm()}
		for _, x := range b.GetStations() {
			s.At, s.Near, s.Far = append(s.At, x.GetXMm()), append(s.Near, x.GetNearMm()), append(s.Far, x.GetFarMm())
		}
		l = append(l, s)
	}
	return l, nil
}

// show shows each board until it has left, and ends once all results are taken.
func show(out io.Writer, p *standin.PLC, boards []standin.Scan, hold time.Duration) error {
	p.Hold, p.Cutting = hold, 50*time.Millisecond
	accepted := 0
	p.Left = func(c standin.Cut) {
		if c.Plan == 0 {
			fmt.Fprintf(out, "board %d: no plan\n", c.Number)
			return
		}
		accepted++
		var l []string
		for _, w := range c.Widths {
			l = append(l, fmt.Sprintf("%.1f", w))
		}
		fmt.Fprintf(out, "board %d: fence at %.1f mm, strips of %s mm\n", c.Number, c.Fence, strings.Join(l, ", "))
	}
	var err error
	n := 0
	p.Scans = func() (standin.Scan, bool) {
		if n < len(boards) {
			n++
			return boards[n-1], true
		}
		for late := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
			if written, taken := p.Taken(); written == taken {
				return standin.Scan{}, false
			}
			if time.Now().After(late) {
				err = errors.New("the bridge has not read all results")
				return standin.Scan{}, false
			}
		}
	}
	p.Run(1)
	fmt.Fprintf(out, "%d boards, %d cut as planned, all results read\n", len(boards), accepted)
	return err
}
