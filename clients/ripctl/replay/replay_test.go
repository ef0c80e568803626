package replay

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/app"
	filed "github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/withhold"
)

// serve runs a server until the test's end, or until end is called.
func serve(t *testing.T, record string, oneIn int) (client ripwrightv1.RipServiceClient, end func()) {
	t.Helper()
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second, Record: filed.File{Path: record}, RecordOneIn: oneIn,
		Service: service.Config{Solves: 2, Waiting: 64, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	open := true
	end = func() {
		if open {
			open = false
			_ = conn.Close()
			stop()
			if err := <-ended; err != nil {
				t.Error(err)
			}
		}
	}
	t.Cleanup(end)
	return ripwrightv1.NewRipServiceClient(conn), end
}

// What a line recorded is planned again exactly, and for another saw or order with the
// resulting changes.
func TestReplayOfALine(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boards.jsonl")
	client, end := serve(t, path, 1)
	const boards = 25
	setUp := sim.SetUp("recorded")
	r, err := sim.Run(t.Context(), sim.Config{Seed: 5, Boards: boards, SetUp: setUp, Patience: time.Minute,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return client, func() {}, nil }})
	if err != nil || len(r.Wrong) > 0 {
		t.Fatal(err, r.Wrong)
	}
	end() // writes what is buffered
	recorded, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if i, err := os.Stat(path); err != nil || i.Mode().Perm() != 0o600 {
		t.Errorf("the recording is open to others: %v %v", i.Mode(), err)
	}

	client, _ = serve(t, "", 0)
	solve := func(ctx context.Context, m *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error) {
		return client.SolveBoard(ctx, m)
	}
	run := func(c Change) *Report {
		t.Helper()
		again, err := Run(t.Context(), bytes.NewReader(recorded), solve, c)
		if err != nil {
			t.Fatal(err)
		}
		return again
	}
	same := run(Change{})
	if n := int(r.Summary.GetPlanned()); same.Boards != n || same.Same != n || len(same.Refused) != 0 {
		t.Errorf("%d of %d boards replayed, %d the same, %v", same.Boards, n, same.Same, same.Refused)
	}
	if same.Recorded.Worth != same.Then.Worth || same.Recorded.CycleS != same.Then.CycleS || same.Then.Cycles != same.Boards {
		t.Errorf("%+v\nreplayed as %+v", same.Recorded, same.Then)
	}

	// Half the feed: the same plans, longer cycles. Each board then takes longer by its
	// length at 36 m/min, and no two boards can be confused.
	slow := proto.CloneOf(setUp.GetSaw())
	slow.FeedMPerMin = proto.Float64(slow.GetFeedMPerMin() / 2)
	slower := run(Change{Saw: slow})
	if slower.Then.Worth <= 0 || slower.Then.CycleS <= slower.Recorded.CycleS*1.3 {
		t.Errorf("at half the feed %g s, recorded %g s", slower.Then.CycleS, slower.Recorded.CycleS)
	}
	// An order of rails alone makes nothing else, and no more than it needs except for one
	// strip.
	o := proto.CloneOf(setUp.GetOrder())
	o.OrderId, o.Items = "rails", o.Items[1:2]
	o.Items[0].Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 40}}
	rails := run(Change{Order: o})
	made := rails.Then.Items[Item{"rails", "rail"}]
	if len(rails.Then.Items) != 1 || made.LengthM < 40 || made.LengthM > 45 || made.Open.GetLengthM() != 0 {
		t.Errorf("%+v", made)
	}
	// A saw that takes none of the boards.
	short := proto.CloneOf(setUp.GetSaw())
	short.Limits.MaxLengthMm = proto.Float64(700)
	if none := run(Change{Saw: short}); none.Boards != 0 || len(none.Refused) != same.Boards {
		t.Errorf("%d boards on a saw that takes none", none.Boards)
	}
}

// One board in a given number is recorded, unary ones too, and a line that is not a
// record is named.
func TestSampling(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boards.jsonl")
	client, end := serve(t, path, 3)
	setUp := sim.SetUp("")
	for i := range 7 {
		if _, err := client.SolveBoard(t.Context(), &ripwrightv1.SolveBoardRequest{Board: sim.Board(2, i), Order: setUp.GetOrder(),
			SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: setUp.GetSaw()}}); err != nil {
			t.Fatal(err)
		}
	}
	end()
	f, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	_, err = Read(bytes.NewReader(f), func(r *Record) error {
		ids = append(ids, r.Request.GetBoard().GetBoardId())
		if r.Response.GetBoardId() != r.Request.GetBoard().GetBoardId() || r.Response.GetPlan() == nil {
			t.Errorf("record %v", r)
		}
		return nil
	})
	if err != nil || strings.Join(ids, " ") != "2-0 2-3 2-6" {
		t.Errorf("recorded %v, %v", ids, err)
	}
	for _, wrong := range []string{"{", `{"request":{"bord":{}},"response":{}}`, `{"request":{}}`} {
		if _, err := Read(strings.NewReader("\n"+wrong+"\n"), func(*Record) error { return nil }); err == nil || !strings.HasPrefix(err.Error(), "line 2: ") || !errors.As(err, new(*Mistake)) {
			t.Errorf("%s: %v", wrong, err)
		}
	}
	// A torn line, after a full disk or a power cut, is skipped and named; the rest is
	// read.
	first, rest, _ := bytes.Cut(f, []byte("\n"))
	for _, torn := range [][]byte{first[:len(first)/2], append(bytes.Clone(first[:40]), first...), make([]byte, 512)} {
		n := 0
		lines, err := Read(bytes.NewReader(slices.Concat(torn, []byte("\n"), rest)), func(*Record) error { n++; return nil })
		if err != nil || n != 2 || len(lines.Torn) != 1 || lines.Torn[0].Line != 1 {
			t.Errorf("%.60q: %d records, torn %v, %v", torn, n, lines, err)
		}
	}
}

// Lines of requests whose plan was withheld are skipped and named; a board whose plan the
// service withholds now is refused, and the replay continues.
func TestWithheld(t *testing.T) {
	const good = `{"request":{"board":{"board_id":"b"}},"response":{"board_id":"b","plan":{"worth":2}}}` + "\n"
	file := good + `{"request":{"fence_mm":3,"board":{}},"withheld":{"call":"CheckPlan","differences":["plan 0, worth: more"]}}` + "\n" + good
	calls := 0
	r, err := Run(t.Context(), strings.NewReader(file), func(context.Context, *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error) {
		if calls++; calls == 2 {
			return nil, refuse.Error(&withhold.Error{})
		}
		return &ripwrightv1.SolveBoardResponse{Plan: &ripwrightv1.Plan{Worth: 2}}, nil
	}, Change{})
	if err != nil || calls != 2 || r.Boards != 1 || r.Same != 1 || len(r.Refused) != 1 || !slices.Equal(r.Passed.Withheld, []int{2}) {
		t.Errorf("%d calls, %+v, %v", calls, r, err)
	}
}

// A replay that lets plans turn boards requests it whatever was recorded, and reports how
// many boards are turned and what that costs.
func TestReplayThatTurnsBoards(t *testing.T) {
	line := `{"request": {"board": {"board_id": "b"}}, "response": {"plan": {"worth": 2}}}` + "\n"
	r, err := Run(t.Context(), strings.NewReader(line+line), func(_ context.Context, m *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error) {
		if !m.GetOptions().GetTurnBoards() {
			t.Errorf("asked without turns: %v", m)
		}
		return &ripwrightv1.SolveBoardResponse{Plan: &ripwrightv1.Plan{Worth: 3, TurnCost: proto.Float64(0.25),
			Setting: &ripwrightv1.Setting{Turn: ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END.Enum()}}}, nil
	}, Change{Turns: true})
	if err != nil || r.Boards != 2 || r.Same != 0 || r.Recorded.Turned != 0 || r.Then.Turned != 2 || r.Then.TurnCost != 0.5 || r.Then.Worth != 6 {
		t.Errorf("%+v %v", r, err)
	}
}
