package record

import (
	"bufio"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

var update = flag.Bool("update", false, "write the recording of this release")

const (
	releases = "../../testdata/releases/"
	release  = "v0.1.0"
)

// Boards recorded by this release and earlier ones are read, with no unknown field, and
// when planned again are worth the same: both plans are proven.
func TestRecordingsOfReleases(t *testing.T) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		recorded(t, saws)
	}
	files, err := filepath.Glob(releases + "v*/recording.jsonl")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	s := service.New(saws, service.Config{Solves: 1, Waiting: 1, Longest: time.Minute}, metrics.New(time.Now), time.Now)
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		boards := 0
		lines := bufio.NewScanner(f)
		lines.Buffer(nil, 1<<20)
		for lines.Scan() {
			var l struct {
				Time              time.Time
				Request, Response json.RawMessage
			}
			if err := json.Unmarshal(lines.Bytes(), &l); err != nil || l.Time.IsZero() {
				t.Fatalf("%s: %v", path, err)
			}
			asked, was := &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{}
			if err := protojson.Unmarshal(l.Request, asked); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			if err := protojson.Unmarshal(l.Response, was); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			is, err := s.SolveBoard(t.Context(), asked)
			if err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			if !was.GetProof().GetProven() || !is.GetProof().GetProven() || is.GetProof().GetWorth() != was.GetProof().GetWorth() ||
				is.GetArborFingerprint() != was.GetArborFingerprint() || is.GetSawFingerprint() != was.GetSawFingerprint() {
				t.Errorf("%s: %v\nwas %v", path, is, was)
			}
			boards++
		}
		if err := lines.Err(); err != nil || boards == 0 {
			t.Errorf("%s: %d boards, %v", path, boards, err)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}
}

// recorded records boards of all kinds.
func recorded(t *testing.T, saws *fleet.Fleet) {
	t.Helper()
	path := filepath.Join(releases, release, "recording.jsonl")
	if err := os.Remove(path); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	r, err := Open(Config{File: File{Path: path}, Log: zap.NewNop(), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	s := service.New(saws, service.Config{Solves: 1, Waiting: 1, Longest: time.Minute, Record: r}, metrics.New(time.Now), time.Now)
	order := `"order": {"order_id": "o1", "items": [
 {"item_id": "stile", "width_mm": 66.6, "value": 14, "value_per": "VALUE_PER_LENGTH", "required": {"length_m": 120}, "made": {"length_m": 31.5}, "min_length_mm": 500, "max_length_mm": 5000, "tolerance_mm": 0.3, "stack": "1"},
 {"item_id": "panel", "range": {"min_mm": 40, "max_mm": 90}, "value": 9, "required": {"area_m2": 12}, "panel": {"width_mm": 600, "joint_allowance_mm": 1.5}},
 {"item_id": "rail", "width_mm": 50, "value": 2, "value_per": "VALUE_PER_STRIP", "required": {"pieces": 40}, "piece_length_mm": 700, "accepts": ["stain"]},
 {"item_id": "door", "width_mm": 55, "crosscut": {"kerf_mm": 4, "end_trim_mm": 15, "lengths": [{"length_mm": 720, "value": 1.2, "required": 12, "made": 5}, {"length_mm": 430, "value": 0.6}]}}]}`
	for _, text := range []string{
		`"saw_name": "heron", "board": {"board_id": "b1", "pack_id": "p", "length_mm": 2400, "thickness_mm": 25.4, "stations": [{"far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}]}`,
		`"saw_name": "plover", "board": {"board_id": "b2", "length_mm": 1900, "near_edge_straight": true, "stations": [{"far_mm": 340}]}, "options": {"runners_up": 1}`,
		`"saw_name": "heron", "current_setting": {"fence_mm": 120, "blades_mm": []}, "board": {"board_id": "b3", "length_mm": 2000, "stations": [{"far_mm": 250}, {"x_mm": 900, "near_mm": 6, "far_mm": 262}, {"x_mm": 2000, "far_mm": 245}],
  "defects": [{"from_x_mm": 300, "to_x_mm": 340, "from_y_mm": 50, "to_y_mm": 75, "kind": "knot"}]}, "options": {"work_limit": 1000000}`,
	} {
		m := &ripwrightv1.SolveBoardRequest{}
		if err := protojson.Unmarshal([]byte(`{`+text+`,`+order+`}`), m); err != nil {
			t.Fatal(err)
		}
		if _, err := s.SolveBoard(t.Context(), m); err != nil {
			t.Fatal(err)
		}
	}
}
