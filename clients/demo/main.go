// Command demo starts the service on loopback, rips the demo's pack on three
// kinds of arbor through its gRPC interface, and prints what came of it.
package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
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
	client, stop, err := startService(ctx)
	if err != nil {
		return err
	}
	defer stop()
	for i, s := range saws {
		r, err := rip(ctx, client, boards, s, order, i)
		if err != nil {
			return fmt.Errorf("%s: %w", s.GetName(), err)
		}
		r.print(os.Stdout)
	}
	fmt.Printf("Pictures of the first boards are in %s/.\n", out)
	fmt.Println("A plan is advice. Guards, interlocks and the controller's own limits stay in force.")
	return nil
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
