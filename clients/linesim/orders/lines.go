package orders

import (
	"context"
	"fmt"
	"io"
	"math"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/hindsight"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/testdata/written"
)

// Lines is a trial of several lines that work on one order after another.
type Lines struct {
	Client ripwrightv1.RipServiceClient
	Plans  ripwrightv1.PlanningServiceClient
	Orders int
	Boards int // that an order takes, approximately
	// Every is the number of boards of all lines after which the order is shared again,
	// and the number of its own boards after which a line replans its values.
	Every int32
	// Within is how far above the bound in hindsight an order may be, in per cent; Apart
	// is how many boards apart the lines may end.
	Within, Apart float64
}

// paces of the lines, in boards per minute: the last is killed.
var paces = []int64{10, 8, 6}

// killedAfter is the fraction of an order's boards after which it is killed.
const killedAfter = 0.4

// member is a line at work on the order; times are minutes since the beginning.
type member struct {
	*cutting
	pace   int64 // 0: it was killed
	at     float64
	fills  []*ripwrightv1.Fill
	filled bool
}

// shared is an order that lines cut together.
type shared struct {
	*Lines
	items []order.Item
	order *ripwrightv1.CutOrder
	lines []*member
	strip int64                // approximate length of strips, in micrometres
	came  []*ripwrightv1.Board // the last boards
}

// mostCame is how many of the boards that came represent those to come.
const mostCame = 30

// share has the service share the order, and gives every running line its share as a
// change of its order.
func (s *shared) share(ctx context.Context) error {
	q := &ripwrightv1.ShareOrderRequest{Order: s.order, Expected: s.came}
	for i, l := range s.lines {
		line := &ripwrightv1.SharingLine{LineId: fmt.Sprint("line ", i), SawChoice: &ripwrightv1.SharingLine_Saw{Saw: l.control.Saw},
			Pace: &ripwrightv1.SharingLine_BoardsPerHour{BoardsPerHour: float64(l.pace) * 60}}
		for _, f := range l.fills {
			line.Fills = append(line.Fills, &ripwrightv1.SharingFill{ItemId: f.GetItemId(), Made: f.GetMade(), Reserved: f.GetReserved()})
		}
		q.Lines = append(q.Lines, line)
	}
	parts, err := s.Plans.ShareOrder(ctx, q)
	if err != nil {
		return err
	}
	if parts.GetEndedBy() != ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT {
		return fmt.Errorf("sharing the order: planning of values ended with %v", parts.GetEndedBy())
	}
	if err := s.holds(parts); err != nil {
		return err
	}
	for i, l := range s.lines {
		if l.pace == 0 {
			continue
		}
		a, err := l.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_OrderChange{OrderChange: &ripwrightv1.OrderChange{Order: parts.GetLines()[i].GetOrder()}}})
		if err != nil {
			return err
		}
		if l.fills, l.filled = a.GetFills(), filled(a); len(l.fills) != len(s.items) {
			return fmt.Errorf("the answer to an order of %d items has %d", len(s.items), len(l.fills))
		}
		if l.filled != parts.GetLines()[i].GetNothingLeft() {
			return fmt.Errorf("line %d: filled is %t, the service answers %v", i, l.filled, parts.GetLines()[i])
		}
	}
	return nil
}

// holds compares shares with the books of all lines: nothing may be made twice or left
// out.
func (s *shared) holds(parts *ripwrightv1.ShareOrderResponse) error {
	for k := range s.items {
		made, reserved, wanted := int64(0), int64(0), int64(0)
		for i, l := range s.lines {
			made, reserved = made+micrometres(l.fills[k].GetMade()), reserved+micrometres(l.fills[k].GetReserved())
			wanted += micrometres(parts.GetLines()[i].GetOrder().GetItems()[k].GetRequired())
		}
		if want := max(s.items[k].Required, made+reserved); wanted != want {
			return fmt.Errorf("item %q: the lines' shares total %d um, the order wants %d um", s.items[k].ID, wanted, want)
		}
	}
	return nil
}
func micrometres(a *ripwrightv1.Amount) int64 { return int64(math.Round(a.GetLengthM() * 1e6)) }

// next is the line that takes the next board; nil if none has anything to cut.
func (s *shared) next() (first *member) {
	for _, l := range s.lines {
		if l.pace > 0 && !l.filled && (first == nil || l.at+1/float64(l.pace) < first.at+1/float64(first.pace)) {
			first = l
		}
	}
	return first
}

// open reports whether anything is wanted that no line has made.
func (s *shared) open() bool {
	for k := range s.items {
		left := s.items[k].Required
		for _, l := range s.lines {
			left -= micrometres(l.fills[k].GetMade())
		}
		if left > 0 {
			return true
		}
	}
	return false
}

// ended is what an order of several lines took.
type ended struct {
	boards      int
	apart, over float64 // in boards, and the greatest overrun of an item in strips per line
}

// cut cuts the order to its end. The last line is killed on the way.
func (s *shared) cut(ctx context.Context, boards []lumber.Kind) (*ended, error) {
	out, kill, last := &ended{}, int(killedAfter*float64(s.Boards)), s.lines[len(s.lines)-1]
	if err := s.share(ctx); err != nil {
		return nil, err
	}
	for s.open() {
		l := s.next()
		if l == nil { // each has its share, except for what a killed line had
			if err := s.share(ctx); err != nil {
				return nil, err
			}
			if l = s.next(); l == nil {
				return nil, fmt.Errorf("the order is open after %d boards, but no line has anything left to cut", out.boards)
			}
		}
		if out.boards >= len(boards) {
			return nil, fmt.Errorf("%d boards do not fill the order", out.boards)
		}
		b := written.Board(fmt.Sprint(out.boards), &boards[out.boards].Board)
		if out.boards >= kill && last.pace > 0 && l == last { // the board goes to another line
			if err := s.kill(ctx, l, b); err != nil {
				return nil, err
			}
			continue
		}
		a, err := l.board(b)
		if err != nil {
			return nil, fmt.Errorf("board %d: %w", out.boards, err)
		}
		s.came = append(s.came[max(len(s.came)-mostCame+1, 0):len(s.came):len(s.came)], b)
		l.boards++
		out.boards++
		l.at += 1 / float64(l.pace)
		if l.fills, l.filled = a.GetFills(), filled(a); l.filled || out.boards%int(s.Every) == 0 {
			if err := s.share(ctx); err != nil {
				return nil, err
			}
		}
	}
	s.measure(out)
	return out, nil
}

// kill stops a line that has planned a board that will not be cut: its share goes to the
// others, as does what that board makes once it is given up.
func (s *shared) kill(ctx context.Context, l *member, b *ripwrightv1.Board) error {
	a, err := l.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b}}})
	if err != nil {
		return err
	}
	if len(a.GetFills()) != len(l.fills) {
		return fmt.Errorf("the answer to a board has %d items, the one before had %d", len(a.GetFills()), len(l.fills))
	}
	l.pace, l.fills = 0, a.GetFills()
	if err := s.share(ctx); err != nil {
		return err
	}
	for _, f := range l.fills {
		f.Reserved = nil
	}
	return nil
}

// measure computes how far apart the running lines ended, and by how much items overran.
func (s *shared) measure(out *ended) {
	end := 0.0
	for _, l := range s.lines {
		end = math.Max(end, l.at)
	}
	for _, l := range s.lines {
		out.apart = math.Max(out.apart, (end-l.at)*float64(l.pace))
	}
	for k := range s.items {
		over := -s.items[k].Required
		for _, l := range s.lines {
			over += micrometres(l.fills[k].GetMade())
		}
		out.over = math.Max(out.over, float64(over)/float64(s.strip)/float64(len(s.lines)))
	}
}

// RunLines cuts orders by three lines that share each, one of which is killed, and prints
// the results. holds says that all of them are within the limits.
func RunLines(ctx context.Context, c Lines, out io.Writer) (holds bool, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	fmt.Fprintln(out, "| order | hindsight bound | boards of all lines | over | boards between ends | greatest overrun, strips per line |\n|---|---|---|---|---|---|")
	holds = true
	for seed := range uint64(c.Orders) {
		p := invented.Order(seed, c.Boards)
		boards := quote.Boards(p, seed, 0, most*c.Boards)
		s := &shared{Lines: &c, items: p.Values.Items, order: &ripwrightv1.CutOrder{OrderId: fmt.Sprint("order ", seed), Items: written.Items(p.Values.Items)}}
		for i := range boards {
			s.strip = max(s.strip, int64(boards[i].Board.Length)/1000)
		}
		for i, pace := range paces {
			m := &ripwrightv1.LineSetUp{RunId: fmt.Sprintf("order %d, line %d", seed, i), SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: written.Saw(&p.Values.Saw, &p.Pace)},
				CurrentSetting: written.Setting(&p.Values.Saw), Options: everyItem, Order: s.order, ValuePlanning: &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(c.Every)}}
			l, a, err := begin(ctx, c.Client, m)
			if err != nil {
				return false, err
			}
			s.lines = append(s.lines, &member{cutting: l, pace: pace, fills: a.GetFills()})
		}
		took, err := s.cut(ctx, boards)
		if err != nil {
			return false, fmt.Errorf("order %d: %w", seed, err)
		}
		least, err := hindsight.Least(&p.Values, boards[:took.boards], nil)
		if err != nil {
			return false, err
		}
		above := 100 * (float64(took.boards)/float64(least) - 1)
		fmt.Fprintf(out, "| %d | %d | %d | %.2f %% | %.1f | %.2f |\n", seed, least, took.boards, above, took.apart, took.over)
		holds = holds && above <= c.Within && took.apart <= c.Apart && took.over <= 1
	}
	return holds, nil
}
