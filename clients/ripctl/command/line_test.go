package command

import (
	"bytes"
	"encoding/csv"
	"io"
	"net"
	"strings"
	"sync"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// answers reads a run's answers from JSON lines.
func answers(t *testing.T, out string) (all []*ripwrightv1.RunLineResponse) {
	t.Helper()
	for _, text := range strings.Split(strings.TrimSpace(out), "\n") {
		a := &ripwrightv1.RunLineResponse{}
		if err := protojson.Unmarshal([]byte(text), a); err != nil {
			t.Fatalf("%v in %s", err, text)
		}
		all = append(all, a)
	}
	return all
}

// A run without confirmations of its own makes what solve makes from the same files, and
// its summary adds up.
func TestLineMakesWhatSolveMakes(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("line", "--json", "--in-flight", "0", "--save-order", "MILL/line.json")...)
	all := answers(t, out)
	b.run(t, 0, about("solve", "--json", "--save-order", "MILL/solve.json")...)
	if line, solve := b.read(t, "line.json"), b.read(t, "solve.json"); line != solve {
		t.Errorf("the line makes %s\nsolve makes %s", line, solve)
	}
	if strings.Contains(out, `"state"`) {
		t.Error("the state is written out")
	}
	s := all[len(all)-1].GetSummary()
	if len(all) != 1+12+12+1 || s.GetPlanned() != 12 || s.GetUnconfirmed() != 0 || s.GetOutcomes()[0].GetBoards() != 12 {
		t.Errorf("%d answers; %v", len(all), s)
	}
	area := 0.0
	for _, i := range s.GetItems() {
		area += i.GetAreaM2()
	}
	if a := s.GetAccount(); abs(area-a.GetStripM2()) > 1e-6 || a.GetYieldRatio() < 0.5 {
		t.Errorf("strips of %g m2, the account has %g m2", area, a.GetStripM2())
	}
}

// Boards count as a file confirms them.
func TestLineConfirmations(t *testing.T) {
	b := open(t)
	plain := lastSummary(t, b, "--run", "a")
	otherwise := lastSummary(t, b, "--run", "b", "--confirmations", "MILL/confirmations.yaml")
	outcomes := map[ripwrightv1.CutOutcome]int32{}
	for _, o := range otherwise.GetOutcomes() {
		outcomes[o.GetOutcome()] = o.GetBoards()
	}
	if len(outcomes) != 4 || outcomes[ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED] != 9 || outcomes[ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT] != 1 {
		t.Errorf("outcomes %v", outcomes)
	}
	// The board that was not cut is not in the account: AC-003 is 0.21 m2.
	if d := plain.GetAccount().GetFaceM2() - otherwise.GetAccount().GetFaceM2(); d < 0.2 || d > 0.22 {
		t.Errorf("%g m2 less", d)
	}
	out, _ := b.run(t, 0, about("line", "--confirmations", "MILL/confirmations.yaml")...)
	for _, want := range []string{"9 as planned, 1 as measured, 1 not cut, 1 something else", "12 boards planned, 0 refused", "The order now", "still open", "alder-17"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	for text, says := range map[string]string{
		"- {board_id: AC-099, outcome: not_cut}":                                      `c.yaml:1: board_id is "AC-099"; no board has that name; the first one is "AC-001"`,
		"- {outcome: not_cut}":                                                        "board_id is missing; name the board: board_id: AC-001",
		"- {board_id: AC-001, outcome: not_cut}\n- {board_id: AC-001}":                `c.yaml:2: board_id is "AC-001", which is already confirmed above`,
		"- board_id: AC-001\n  outcome: runner_up\n  runner_up: 7":                    "c.yaml:3: runner_up",
		"- board_id: AC-001\n  outcome: as_measured\n  strips:\n  - {item_id: stile}": "c.yaml:4: strips[0].width_mm is 0",
		"- board_id: AC-001":                                                          "c.yaml:1: outcome",
	} {
		b.write(t, "c.yaml", text)
		if _, errs := b.run(t, statusInput, about("line", "--confirmations", "MILL/c.yaml", "--csv", "--table", "packs")...); !strings.Contains(errs, says) {
			t.Errorf("%s\nsays %q, want %q", text, errs, says)
		}
	}
}

func lastSummary(t *testing.T, b *bench, more ...string) *ripwrightv1.RunSummary {
	t.Helper()
	out, _ := b.run(t, 0, about("line", append([]string{"--json"}, more...)...)...)
	all := answers(t, out)
	return all[len(all)-1].GetSummary()
}

// Every table has its rows; that of plans equals the one of solve.
func TestLineTables(t *testing.T) {
	b := open(t)
	for table, column := range map[string]string{"plans": "pocket", "items": "length_ft", "stacks": "item_ids", "packs": "board_feet"} {
		out, _ := b.run(t, 0, about("line", "--csv", "--table", table)...)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil || len(rows) < 2 || !strings.Contains(strings.Join(rows[0], ","), column) {
			t.Errorf("%s: %v\n%s", table, err, out)
		}
	}
	plans, _ := b.run(t, 0, about("line", "--csv", "--in-flight", "0")...)
	solved, _ := b.run(t, 0, about("solve", "--csv")...)
	if plans != solved {
		t.Errorf("line writes\n%s\nsolve writes\n%s", plans, solved)
	}
}

// A board that the saw does not take is refused in its place; the others continue, and
// the status reports it.
func TestLineRefusals(t *testing.T) {
	b := open(t)
	b.write(t, "boards.jsonl", strings.Replace(b.read(t, "boards.jsonl"), `"length_mm":2363`, `"length_mm":400`, 1))
	var out, errs bytes.Buffer
	args := append([]string{"--server", b.server, "--wait", "1m"}, about("line")...)
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "MILL", b.dir)
	}
	if got := Run(t.Context(), args, nil, &out, &errs); got != statusInput {
		t.Errorf("status %d", got)
	}
	for _, want := range []string{"AC-002  refused", "11 boards planned, 1 refused; 11 as planned", "Refused: AC-002 (invalid) ", "boards.jsonl:2: "} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
	if !strings.Contains(errs.String(), "1 board of 12 refused") {
		t.Error(errs.String())
	}
}

// breaker passes connections on to a service, and cuts all of them instead of passing on
// the n-th piece of the service's output, for each n.
type breaker struct {
	net.Listener
	final bool // no connection is accepted after a cut

	mu    sync.Mutex
	at    map[int]bool
	n     int
	conns map[net.Conn]bool
	tasks sync.WaitGroup
}

func newBreaker(t *testing.T, to string, at ...int) *breaker {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	k := &breaker{Listener: l, at: map[int]bool{}, conns: map[net.Conn]bool{}}
	for _, n := range at {
		k.at[n] = true
	}
	k.tasks.Go(func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", to)
			if err != nil {
				_ = near.Close()
				continue
			}
			k.mu.Lock()
			k.conns[near], k.conns[far] = true, true
			k.mu.Unlock()
			k.tasks.Go(func() { _, _ = io.Copy(far, near); _ = far.Close() })
			k.tasks.Go(func() { k.pass(near, far); _ = near.Close() })
		}
	})
	t.Cleanup(func() { _ = l.Close(); k.cut(); k.tasks.Wait() })
	return k
}

// pass passes on the service's output.
func (k *breaker) pass(near, far net.Conn) {
	for b := make([]byte, 1<<16); ; {
		n, err := far.Read(b)
		if err != nil {
			return
		}
		k.mu.Lock()
		k.n++
		now := k.at[k.n]
		k.mu.Unlock()
		if now {
			if k.final {
				_ = k.Close()
			}
			k.cut()
			return
		}
		if _, err := near.Write(b[:n]); err != nil {
			return
		}
	}
}

func (k *breaker) cut() {
	k.mu.Lock()
	defer k.mu.Unlock()
	for c := range k.conns {
		_ = c.Close()
		delete(k.conns, c)
	}
}

// A connection that breaks, before an answer or between two, does not change the result
// of the run.
func TestLineResumes(t *testing.T) {
	b := open(t)
	want := lastSummary(t, b, "--run", "r")
	k := newBreaker(t, b.server, 9, 14, 23, 24, 41)
	var out, errs bytes.Buffer
	args := append([]string{"--server", k.Addr().String(), "--json", "--run", "r"}, about("line")...)
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "MILL", b.dir)
	}
	if got := Run(t.Context(), args, nil, &out, &errs); got != 0 {
		t.Fatalf("status %d: %s", got, errs.String())
	}
	all := answers(t, out.String())
	if got := all[len(all)-1].GetSummary(); !proto.Equal(got, want) {
		t.Errorf("with breaks %v\nwithout %v", got, want)
	}
	if n := strings.Count(errs.String(), "resuming the run"); n < 2 {
		t.Errorf("%d breaks are reported:\n%s", n, errs.String())
	}
}

// A service that remains unreachable ends the run, with the status for that.
func TestLineGivesUp(t *testing.T) {
	b := open(t)
	k := newBreaker(t, b.server, 12)
	k.final = true
	out, errs := b.run(t, statusServer, append([]string{"--server", k.Addr().String(), "--json"}, about("line", "--reconnect", "300ms")...)...)
	if len(answers(t, out)) < 2 || !strings.Contains(errs, "nothing answers at") || !strings.Contains(errs, "resuming the run") {
		t.Error(out, errs)
	}
}

// A board that serves two orders shows the order of each strip, in tables and as CSV.
func TestLineOverlap(t *testing.T) {
	b := open(t)
	b.write(t, "few.yaml", "order_id: few\nitems:\n  - {item_id: stile, width: 1-1/2in, value: 21, required: {length: 20ft}}\n")
	b.write(t, "then.yaml", "order_id: then\nitems:\n  - {item_id: stile, width: 1-1/2in, value: 21, required: {length: 500ft}}\n")
	args := []string{"line", "--saw-file", "MILL/saws.yaml", "--order", "MILL/few.yaml", "--next-order", "MILL/then.yaml", "--overlap-from", "2", "MILL/boards.jsonl"}
	out, _ := b.run(t, 0, args...)
	if !strings.Contains(out, "1 stile, ") || !strings.Contains(out, " stile for then") {
		t.Error(out)
	}
	out, _ = b.run(t, 0, append(args, "--csv")...)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if !strings.HasSuffix(lines[0], ",turn,order_id") || !strings.Contains(out, ",then\n") || strings.Count(lines[1], ",") != strings.Count(lines[0], ",") {
		t.Error(out)
	}
	if _, errs := b.run(t, statusInput, append(args, "--overlap-from", "101")...); !strings.Contains(errs, "overlap_from_boards") {
		t.Error(errs)
	}
}

// The bays of the outfeed are flags; their contents and their cost are shown.
func TestLineBays(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("line", "--bays", "1", "--bay-change-s", "60", "--measure-bays", "1")...)
	for _, want := range []string{"Outfeed: from board AC-001 on bay 0 takes ", "stacks of the outfeed's bays changed", "% of the boards' worth, by ", "so far; what the bays cost shows once"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	for flags, want := range map[string]string{"--bays 65": "--bays is 65", "--bays 2 --bay-change-s 4000": "--bay-change-s is 4000", "--bays 2 --measure-bays -1": "--measure-bays is -1"} {
		if _, errs := b.run(t, statusInput, about("line", strings.Fields(flags)...)...); !strings.Contains(errs, want) {
			t.Errorf("%s: %s", flags, errs)
		}
	}
	if _, errs := b.run(t, statusUsage, about("line", "--bay-change-s", "60")...); !strings.Contains(errs, "say how many there are") {
		t.Error(errs)
	}
}

// Waiting orders follow the first one, and each is shown in its final state.
func TestLineNextOrders(t *testing.T) {
	b := open(t)
	b.write(t, "few.yaml", "order_id: few\nitems:\n  - {item_id: stile, width: 2-3/4in, value: 21, required: {length: 10ft}}\n")
	b.write(t, "then.yaml", "order_id: then\nitems:\n  - {item_id: stile, width: 2-3/4in, value: 21, required: {length: 500ft}}\n")
	args := []string{"line", "--saw-file", "MILL/saws.yaml", "--order", "MILL/few.yaml", "--next-order", "MILL/then.yaml", "MILL/boards.jsonl"}
	out, _ := b.run(t, 0, args...)
	for _, want := range []string{"few: stile", "then: stile", "The order now", "The order then now"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	all := answers(t, func() string { out, _ := b.run(t, 0, append(args, "--json")...); return out }())
	orders := all[len(all)-1].GetSummary().GetOrders()
	if len(orders) != 2 || !orders[0].GetFull() || orders[1].GetFills()[0].GetMade().GetLengthM() == 0 {
		t.Errorf("%v", orders)
	}
	b.write(t, "then.yaml", "order_id: few\nitems: []\n")
	if _, errs := b.run(t, statusInput, args...); !strings.Contains(errs, "then.yaml:1: order_id is \"few\", which order has too") {
		t.Error(errs)
	}
}
