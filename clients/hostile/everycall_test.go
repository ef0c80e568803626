package hostile

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const (
	demoBoard = `"board":{"length_mm":2000,"stations":[{"far_mm":200}]}`
	demoItems = `{"item_id":"a","width_mm":60,"value":1,"required":{"length_m":20}}`
	demoOrder = `"order":{"order_id":"o","items":[` + demoItems + `]}`
	demoWood  = `"lumber":{"lots":[{"tagged":{"rows":[{"width_mm":200,"length_mm":2000,"count":10}]}}]}`
)

// once is each call once, for JSON.
var once = []struct{ path, body string }{
	{"/v1/boards:solve", `{"saw_name":"heron",` + demoBoard + `,` + demoOrder + `}`},
	{"/v1/boards:check", `{"saw_name":"heron",` + demoBoard + `,` + demoOrder + `,"setting":{"fence_mm":153.6,"blades_mm":[150,220.4,284,347.6]}}`},
	{"/v1/boards:draw", `{"saw_name":"heron",` + demoBoard + `,` + demoOrder + `}`},
	{"/v1/cuts:confirm", `{"confirmation_id":"c","saw_name":"heron",` + demoBoard + `,` + demoOrder + `,"outcome":"CUT_OUTCOME_AS_MEASURED","strips":[{"item_id":"a","width_mm":60,"stretches":[{"length_mm":2000}]}]}`},
	{"/v1/orders:planValues", `{"saw_name":"heron",` + demoOrder + `,` + demoWood + `}`},
	{"/v1/orders:quote", `{"saw_name":"heron","simulations":4,` + demoOrder + `,` + demoWood + `}`},
	{"/v1/orders:watchQuote", `{"quote":{"saw_name":"heron","simulations":4,` + demoOrder + `,` + demoWood + `}}`},
	{"/v1/arbors:plan", `{"saw_name":"plover","orders":[{` + demoOrder + `}],` + demoWood + `,"max_settings":20,"spacers":{"increment_mm":50,"min_mm":0,"max_mm":500},"time_limit_ms":3000}`},
	{"/v1/orders:sequence", `{"jobs":[{"order_id":"a","arbors":[{"fixed_mm":[100],"duration_minutes":10}]}],"change":{"setup_minutes":5,"per_blade_minutes":1}}`},
	{"/v1/orders:share", `{"lines":[{"line_id":"l","saw_name":"heron","boards_per_hour":60}],` + demoOrder + `,"expected":[{"length_mm":2000,"stations":[{"far_mm":200}]}]}`},
	{"/v1/packs:tally", `{"packs":[{"pack_id":"p","species":"white oak","nominal_thickness_in":1,"tally":{"board_feet":100}}]}`},
	{"/v1/saws", ""}, {"/v1/serverInfo", ""}, {"/metrics", ""}, {"/readyz", ""}, {"/openapi.yaml", ""}, {"/", ""},
}

// call makes a call by JSON.
func call(r *replicas.Replica, path, body string) error {
	method := http.MethodPost
	if body == "" {
		method = http.MethodGet
	}
	q, err := http.NewRequest(method, "http://"+r.HTTP+path, strings.NewReader(body))
	if err != nil {
		return err
	}
	q.Header.Set("Content-Type", "application/json")
	web := &http.Client{Timeout: 30 * time.Second}
	answer, err := web.Do(q)
	if err != nil {
		return err
	}
	text, _ := io.ReadAll(answer.Body)
	_ = answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %s %.300s", path, answer.Status, text)
	}
	return nil
}

// reload has the service read its files anew, and waits until it has left a recording that
// was moved away: it opens a new one before the next board.
func reload(r *replicas.Replica, record string) error {
	if err := os.Rename(record, record+".1"); err != nil {
		return err
	}
	if err := r.Signal(syscall.SIGHUP); err != nil {
		return err
	}
	for end := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if err := call(r, once[0].path, once[0].body); err != nil {
			return err
		}
		if _, err := os.Stat(record); err == nil {
			return nil
		}
		if time.Now().After(end) {
			return errors.New("no new recording is begun")
		}
	}
}

// everyCall makes each call once, has the service reload its files, and ends it.
func everyCall(t *testing.T, r *replicas.Replica, record string) error {
	t.Helper()
	for _, c := range once {
		if err := call(r, c.path, c.body); err != nil {
			return err
		}
	}
	conn, err := grpc.NewClient(r.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(ctx)
	if err != nil {
		return err
	}
	for i, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: sim.SetUp("filtered")}},
		{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: sim.Board(1, 1)}}},
		{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}},
	} {
		m.Sequence = int32(i + 1)
		if err := s.Send(m); err != nil {
			return err
		}
		if _, err := s.Recv(); err != nil {
			return err
		}
	}
	if err := reload(r, record); err != nil {
		return err
	}
	return r.Drain()
}
