package record_test

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/record"
)

// One board of two is recorded.
func ExampleRecorder() {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = os.RemoveAll(dir) }()
	file := filepath.Join(dir, "boards.jsonl")
	r, err := record.Open(record.Config{File: record.File{Path: file}, OneIn: 2, Log: zap.NewNop(), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		fmt.Println(err)
		return
	}
	for range 6 {
		if r.Wants() {
			r.Board("line 1", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
		}
	}
	r.Close()
	text, err := os.ReadFile(file)
	if err != nil {
		fmt.Println(err)
		return
	}
	lines := 0
	for _, c := range text {
		if c == '\n' {
			lines++
		}
	}
	fmt.Println(lines)
	// Output: 3
}
