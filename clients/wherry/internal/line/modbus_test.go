package line

import (
	"context"
	"math"
	"testing"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/modbus"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/registers"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Over registers, with several requests per board, a line has the same result; a plan
// never stands beside another board's number.
func TestByModbus(t *testing.T) {
	all := services(t, 1)
	p := standin.New(11, math.MaxUint32-9)
	p.Scans, p.Refuse, p.Hold, p.Cutting = boards(25), .1, 2*time.Second, 3*time.Millisecond
	s := registers.Serve(t, p)
	o := &told{plans: map[handover.Board]*ripwrightv1.Plan{}, fills: map[string]*ripwrightv1.Fill{}}
	set := sim.SetUp("run")
	set.Options = &ripwrightv1.SolveOptions{}
	cfg := Config{Stream: streams(t, all), SetUp: set, Slots: standin.Slots, Poll: time.Millisecond, Beat: 10 * time.Millisecond,
		Dead: 2 * time.Second, Within: 500 * time.Millisecond, Log: zap.NewNop(), Tell: o.hear}
	cfg.Dial = func(ctx context.Context) (plc.PLC, error) {
		return modbus.Dial(ctx, modbus.Config{Address: s.Address, UnitID: 1, Order: "CDAB", Words: s.Words, Unit: 1, Slots: standin.Slots, Timeout: time.Second, Unsecured: true})
	}
	c, err := cfg.Dial(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if l, err := c.(plc.Checker).Check(t.Context()); err != nil || len(l) > 0 {
		t.Errorf("%v %v", l, err)
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	runs(t, p, math.MaxUint32-9, cfg, dir, func() time.Duration { return 400 * time.Millisecond })
	if len(p.Wrong)+len(o.wrong) > 0 {
		t.Error(p.Wrong, o.wrong)
	}
	agree(t, p, o, cfg, dir)
}
