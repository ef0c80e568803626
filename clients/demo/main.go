// Command demo starts the service on loopback, cuts the demo's order from its pack on
// three kinds of arbor through its gRPC interface, by planned values and by its own, and
// prints the results.
package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const (
	data = "testdata/demo"
	out  = "out"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

func run() error {
	boards, saws, order, err := load()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Minute)
	defer cancel()
	s, err := startService(ctx)
	if err != nil {
		return err
	}
	defer s.stop()
	// The first call opens the connection; its time is not that of a board.
	if err := draw(ctx, s, boards[:1], saws[0], order, 0); err != nil {
		return err
	}
	for i, saw := range saws {
		if err := both(ctx, s, boards, saw, order, i); err != nil {
			return fmt.Errorf("%s: %w", saw.GetName(), err)
		}
	}
	fmt.Printf("\nPictures of the first boards are in %s/.\n", out)
	fmt.Println("A plan is advice. Guards, interlocks and the controller's own limits stay in force.")
	fmt.Println("To see it in a browser start the service and open its page:")
	fmt.Println("\n    go run ./server\n    http://127.0.0.1:7421/#pack")
	return nil
}

// both cuts the order by its own values and by planned ones.
func both(ctx context.Context, s *service, boards []*ripwrightv1.Board, saw *ripwrightv1.Saw, order *ripwrightv1.CutOrder, number int) error {
	better, never, err := planned(ctx, s, boards, saw, order)
	if err != nil {
		return err
	}
	byPlan, err := rip(ctx, s, boards, saw, better, never)
	if err != nil {
		return err
	}
	byOwn, err := rip(ctx, s, boards, saw, order, never)
	if err != nil {
		return err
	}
	fmt.Printf("\nArbor: %s\nby planned values  %s\nby its own values  %s\n", saw.GetName(), byPlan.outcome(), byOwn.outcome())
	if len(never) > 0 {
		fmt.Printf("no board can give %s on this arbor; all further figures exclude them\n", strings.Join(never, ", "))
	}
	byPlan.print(os.Stdout)
	return draw(ctx, s, boards, saw, better, number)
}

func load() (boards []*ripwrightv1.Board, saws []*ripwrightv1.Saw, order *ripwrightv1.CutOrder, err error) {
	f, err := os.Open(filepath.Join(data, "boards.jsonl"))
	if err != nil {
		return nil, nil, nil, fmt.Errorf("run it from the project's root: %w", err)
	}
	defer func() { _ = f.Close() }()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		b := &ripwrightv1.Board{}
		if err := protojson.Unmarshal(lines.Bytes(), b); err != nil {
			return nil, nil, nil, fmt.Errorf("boards.jsonl, line %d: %w", len(boards)+1, err)
		}
		boards = append(boards, b)
	}
	file, err := os.ReadFile(filepath.Join(data, "saws.json"))
	if err != nil {
		return nil, nil, nil, err
	}
	var parts []json.RawMessage
	if err := json.Unmarshal(file, &parts); err != nil {
		return nil, nil, nil, fmt.Errorf("saws.json: %w", err)
	}
	for _, p := range parts {
		s := &ripwrightv1.Saw{}
		if err := protojson.Unmarshal(p, s); err != nil {
			return nil, nil, nil, fmt.Errorf("saws.json: %w", err)
		}
		saws = append(saws, s)
	}
	if file, err = os.ReadFile(filepath.Join(data, "order.json")); err != nil {
		return nil, nil, nil, err
	}
	order = &ripwrightv1.CutOrder{}
	return boards, saws, order, protojson.Unmarshal(file, order)
}
