// Package orders runs whole orders through the service's live line and compares how many
// boards they take, by values that the line plans itself and by others, with the fewest
// that could have filled them, known only in hindsight.
//
// Orders, boards and therefore plans come from seeds, so the same call prints the same.
package orders

import (
	"context"
	"errors"
	"fmt"
	"io"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/hindsight"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/testdata/written"
)

// Config of a comparison.
type Config struct {
	Client ripwrightv1.RipServiceClient
	Orders int // number of orders, with seeds from 0
	Boards int // that an order takes, approximately
	Every  int32
	// Together is the number of orders run at a time.
	Together int
	// Tags cuts orders from tags with few kinds of boards; otherwise from spreads.
	Tags bool
	// Within is how far above the bound planned values may be at the median, in per cent,
	// and AtWorst how far at worst; 0: any.
	Within, AtWorst float64
}

// way is one way to value strips.
type way struct {
	name  string
	setUp func(m *ripwrightv1.LineSetUp, p *quote.Problem, c *Config, seed uint64)
}

// expected is the number of boards announced to a line beforehand.
const expected = 60

// ways start with the one that is compared with all others.
var ways = []way{
	{"planned", plan},
	{"planned, lumber told", func(m *ripwrightv1.LineSetUp, p *quote.Problem, c *Config, seed uint64) {
		plan(m, p, c, seed)
		for _, k := range p.Lots[0].Sample(expected, seed) {
			m.ValuePlanning.Expected = append(m.ValuePlanning.Expected, written.Board("", &k.Board))
		}
	}},
	{"set by hand", func(*ripwrightv1.LineSetUp, *quote.Problem, *Config, uint64) {}},
	{"yield alone", func(m *ripwrightv1.LineSetUp, _ *quote.Problem, _ *Config, _ uint64) {
		for _, it := range m.Order.Items {
			it.Value = 10
		}
	}},
}

func plan(m *ripwrightv1.LineSetUp, _ *quote.Problem, c *Config, _ uint64) {
	m.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(c.Every)}
}

// row is the result of an order.
type row struct {
	least  int
	took   []int  // by way
	failed string // failed plannings
}

// most is the greatest ratio of the boards of an order to the expected number.
const most = 10

// tries is how often an order is cut from its beginning if a busy machine prevented the
// planning of its values, which must not affect the result.
const tries = 5

// run cuts an order in every way, on the same boards.
func run(ctx context.Context, c *Config, seed uint64) (*row, error) {
	draw := invented.Order
	if c.Tags {
		draw = invented.Tag
	}
	p := draw(seed, c.Boards)
	boards := quote.Boards(p, seed, 0, most*c.Boards)
	r := &row{}
	for i := range ways {
		m := &ripwrightv1.LineSetUp{RunId: fmt.Sprintf("order %d, %s", seed, ways[i].name),
			SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: written.Saw(&p.Values.Saw, &p.Pace)}, CurrentSetting: written.Setting(&p.Values.Saw), Options: everyItem,
			Order: &ripwrightv1.CutOrder{OrderId: fmt.Sprint("order ", seed), Items: written.Items(p.Values.Items)}}
		ways[i].setUp(m, p, c, seed)
		o, err := cutInTime(ctx, c.Client, m, of(boards))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.RunId, err)
		}
		took, v := o.boards, o.values
		if m.ValuePlanning != nil && v.GetNumber() == 0 && took > int(c.Every) {
			return nil, fmt.Errorf("%s: no values came into force in %d boards", m.RunId, took)
		}
		r.took = append(r.took, took)
		if v.GetFailed() > 0 {
			r.failed += fmt.Sprintf("order %d, %s: %d plannings failed, the last: %s\n", seed, ways[i].name, v.GetFailed(), v.GetFailure())
		}
	}
	var err error
	r.least, err = hindsight.Least(&p.Values, boards[:r.took[0]], nil)
	return r, err
}

// cutInTime cuts an order, again from its beginning if a busy machine prevented the
// planning of its values.
func cutInTime(ctx context.Context, client ripwrightv1.RipServiceClient, m *ripwrightv1.LineSetUp, boards supply) (*outcome, error) {
	name := m.GetRunId()
	o, err := cut(ctx, client, m, boards)
	for again := 1; errors.Is(err, errUntimely) && again < tries; again++ {
		m.RunId = fmt.Sprintf("%s, again %d", name, again)
		o, err = cut(ctx, client, m, boards)
	}
	return o, err
}

// Run compares and prints. holds says that planned values stayed near enough to the
// bound.
func Run(ctx context.Context, c Config, out io.Writer) (holds bool, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	results := inTurns(c.Orders, c.Together, func(i int) (*row, error) { return run(ctx, &c, uint64(i)) })
	t := table{out: out}
	if c.Tags { // a tag says what boards come, so lines are told
		t.by = 1
	}
	t.head()
	for i := range results {
		r := <-results[i]
		if r.err != nil {
			return false, r.err
		}
		t.row(i, r.of)
	}
	return t.end(c.Within, c.AtWorst), nil
}
