package screen

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// clock is set by the test.
type clock struct{ now time.Time }

func (c *clock) read() time.Time { return c.now }

func begin(when outfeed.When) (*Screen, *clock) {
	c := &clock{time.Unix(1e9, 0)}
	return New(Config{When: when, Stale: 20 * time.Second, Now: c.read}), c
}

func say(s *Screen, n int32, m *ripwrightv1.RunLineRequest, a *ripwrightv1.RunLineResponse) {
	m.Sequence, a.Sequence = n, n
	s.Sent(m)
	s.Answered(a)
}

func setUp(s *Screen) {
	s.Opened()
	say(s, 1, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{}},
		&ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Started{Started: &ripwrightv1.LineStarted{Ready: &ripwrightv1.LineReady{}}}})
}

func board(s *Screen, n int32) {
	say(s, n, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{}}},
		&ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{BoardId: "b7", Plan: &ripwrightv1.Plan{
			Pockets: []*ripwrightv1.Pocket{{ItemId: "stile", WidthMm: 66.675, Stack: "3"}}}}}})
}

// A board is shown while it is fresh, and no longer once it is stale or the line has
// disconnected.
func TestBlankRatherThanWrong(t *testing.T) {
	s, c := begin(outfeed.BeforeConfirmation)
	look := func() picture { p, _ := s.look(); return p }
	if p := look(); p.State != "no_line" || p.Says == "" {
		t.Errorf("at first: %+v", p)
	}
	setUp(s)
	if p := look(); p.State != "waiting" || len(p.Strips) != 0 {
		t.Errorf("without a board: %+v", p)
	}
	c.now = c.now.Add(time.Minute)
	board(s, 2)
	if p := look(); p.State != "shown" || len(p.Strips) != 1 || p.Strips[0] != (strip{Width: "66.7", Item: "stile", Stack: "3", Style: 2}) {
		t.Errorf("with a board: %+v", p)
	}
	c.now = c.now.Add(20 * time.Second)
	if p := look(); p.State != "shown" {
		t.Errorf("after 20 s: %+v", p)
	}
	c.now = c.now.Add(time.Millisecond)
	if p := look(); p.State != "stale" || len(p.Strips) != 0 || p.Board != "" || p.Says != "No board for 20 s" {
		t.Errorf("later: %+v", p)
	}
	board(s, 3) // does not make the board shown fresh again
	if p := look(); p.State != "stale" || len(p.Strips) != 0 {
		t.Errorf("after another plan: %+v", p)
	}
	s.Closed()
	if p := look(); p.State != "no_line" || len(p.Strips) != 0 || len(p.Next) != 0 {
		t.Errorf("without a line: %+v", p)
	}
}

// Widths as people write them: an inch is 25.4 mm exactly (NIST SP 811, Appendix B.8), so
// 66.675 mm is 2-5/8 in.
func TestWidths(t *testing.T) {
	for mm, want := range map[float64][2]string{66.675: {"66.7", "2-5/8"}, 25.4: {"25.4", "1"}, 50: {"50", "1-31/32"}, 44.5: {"44.5", "1-3/4"}} {
		if a, b := (Config{}).width(mm), (Config{Inches: true}).width(mm); a != want[0] || b != want[1] {
			t.Errorf("%g mm is %s mm and %s in, want %v", mm, a, b, want)
		}
	}
}

// Stacks 1 to 40 all look different, and neighbours differ in colour and pattern.
func TestStyles(t *testing.T) {
	seen := map[[2]int]bool{}
	for n := range 40 {
		a := styleOf(strings.Repeat("0", n%2) + "" + jsonOf(n+1)) // 01 is 1
		look := [2]int{a % 8, a % 5}
		if seen[look] {
			t.Errorf("stack %d looks like another", n+1)
		}
		seen[look] = true
	}
	if styleOf("") != -1 || styleOf("left cart") == styleOf("right cart") {
		t.Error("named stacks have no style, or the same one")
	}
}

func jsonOf(v any) string {
	b, _ := json.Marshal(v)
	return string(b)
}

// A browser gets an event at once, at every change, and at every beat if nothing changes.
func TestEvents(t *testing.T) {
	s := New(Config{When: outfeed.BeforeConfirmation, Stale: time.Minute, Now: time.Now})
	web := httptest.NewServer(s.Handler())
	defer web.Close()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	req, _ := http.NewRequestWithContext(ctx, http.MethodGet, web.URL+"/events", nil)
	answer, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	lines := bufio.NewScanner(answer.Body)
	next := func() (p picture) {
		t.Helper()
		for lines.Scan() {
			if text, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				if err := json.Unmarshal([]byte(text), &p); err != nil {
					t.Fatal(err)
				}
				return p
			}
		}
		t.Fatal("the stream ended")
		return p
	}
	if p := next(); p.State != "no_line" {
		t.Errorf("first event: %+v", p)
	}
	if p := next(); p.State != "no_line" { // the beat
		t.Errorf("second event: %+v", p)
	}
	setUp(s)
	board(s, 2)
	for p := next(); p.State != "shown"; p = next() {
		if p.State != "no_line" && p.State != "waiting" {
			t.Fatalf("before the board is shown: %+v", p)
		}
	}
	if policy := answer.Header.Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'none'") {
		t.Errorf("policy %q", policy)
	}
}

func TestViewersAreBounded(t *testing.T) {
	s, _ := begin(outfeed.AtConfirmation)
	for range mostViewers {
		if !s.enter() {
			t.Fatal("a viewer below the limit is refused")
		}
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/events", nil))
	if w.Code != http.StatusServiceUnavailable {
		t.Errorf("a viewer above the limit got status %d, want 503", w.Code)
	}
	s.leave()
	if !s.enter() {
		t.Error("a viewer is refused after another left")
	}
}

func TestFiles(t *testing.T) {
	s, _ := begin(outfeed.AtConfirmation)
	for path, code := range map[string]int{"/": 200, "/screen.js": 200, "/screen.css": 200, "/other": 404} {
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != code || w.Header().Get("X-Content-Type-Options") != "nosniff" || code == 200 && w.Body.Len() == 0 {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// The ordered width is the large one, the actual width is shown beside it only if it
// reads differently, and a stack reads full only when it is.
func TestOrderedWidthIsTheLargeOne(t *testing.T) {
	c := Config{}
	for _, v := range []struct {
		of   outfeed.Strip
		want strip
	}{
		{outfeed.Strip{WidthMM: 44.7, OrderedMM: 44.5, Stack: "1", Full: 0.9999, FullKnown: true}, strip{Width: "44.5", Is: "44.7", Stack: "1", Full: "99"}},
		{outfeed.Strip{WidthMM: 44.52, OrderedMM: 44.5, Stack: "1", Full: 1, FullKnown: true}, strip{Width: "44.5", Stack: "1", Full: "100"}},
		{outfeed.Strip{WidthMM: 71, Stack: "1"}, strip{Width: "71", Stack: "1"}},
	} {
		if got := c.strip(v.of); got != v.want {
			t.Errorf("%+v is shown as %+v", v.of, got)
		}
	}
}
