package planning

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/share"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// usualStrip is the length of strips in which shares are divided if no boards are
// expected.
const usualStrip = 3000 * unit.Millimetre

// sharing is a request to share an order, made ready.
type sharing struct {
	request *ripwrightv1.ShareOrderRequest
	items   []order.Item // as the order has them
	counts  []order.Measure
	lines   share.Lines // their items count what is made or reserved as made
	amounts []wanted
	fills   []filled
	byFace  bool // paces are in face area
	sound   bool // the order has no faults
	rules   map[string]values.Rule
	limit   time.Duration
}

// wanted is an amount that the order requires: of an item, or of a crosscut length of it.
type wanted struct {
	item, cut int // cut is demand.Whole for the item itself
	share.Amount
}

// filled is what a line has made and reserved: by item and, if the item has crosscut
// lengths, by length.
type filled []struct {
	made, reserved int64
	cuts           []struct{ made, reserved int64 }
}

func (s *Service) readShare(m *ripwrightv1.ShareOrderRequest) (*sharing, error) {
	var p wire.Parts
	in := &sharing{request: m, limit: limited(&p, m.TimeLimitMs)}
	var more []wire.Item
	in.items, more = p.Order(m.GetOrder())
	in.sound = p.Err(order.Faults(in.items, &saw.Saw{})) == nil
	for i := range more {
		in.counts = append(in.counts, more[i].Count)
	}
	if p.Entries("expected", len(m.GetExpected()), ranges.Expected) {
		for i, b := range m.GetExpected() {
			in.lines.Boards = append(in.lines.Boards, lumber.Kind{Board: p.Board(fmt.Sprintf("expected[%d]", i), b), Count: 1})
		}
	}
	in.rules = p.Rules("rules", m.GetRules(), m.GetOrder())
	if err := in.readLines(&p, s.saws); err != nil {
		return nil, err
	}
	if err := p.Err(nil); err != nil {
		return nil, err
	}
	in.stand()
	return in, p.Err(in.faults())
}

// readLines reads the lines. The error is a wire.UnknownSaw.
func (in *sharing) readLines(p *wire.Parts, saws wire.Saws) error {
	lines := in.request.GetLines()
	if !p.Entries("lines", len(lines), ranges.SharingLines) {
		return nil
	}
	seen, sum := map[string]int{}, 0.0
	for l, m := range lines {
		path := fmt.Sprintf("lines[%d]", l)
		if k, twice := seen[m.GetLineId()]; p.Text(path+".line_id", m.GetLineId(), ranges.OwnID) && twice {
			p.Because(fault.Duplicate, path+".line_id", "is %q, which lines[%d] has too; every line needs an id of its own", m.GetLineId(), k)
		}
		seen[m.GetLineId()] = l
		machine, err := p.SawAt(path, m, saws)
		if err != nil {
			return err
		}
		in.lines.Saws = append(in.lines.Saws, machine.Saw)
		pace, byFace := 0.0, false
		switch is := m.GetPace().(type) {
		case *ripwrightv1.SharingLine_BoardsPerHour:
			pace = p.Number(path+".boards_per_hour", is.BoardsPerHour, ranges.BoardPace)
		case *ripwrightv1.SharingLine_FaceM2PerHour:
			pace, byFace = p.Number(path+".face_m2_per_hour", is.FaceM2PerHour, ranges.FacePace), true
		default:
			p.Because(fault.Missing, path, "has no pace; set boards_per_hour or face_m2_per_hour, 0 for a stopped line")
		}
		if l == 0 {
			in.byFace = byFace
		} else if m.GetPace() != nil && lines[0].GetPace() != nil && byFace != in.byFace {
			p.Add(path, "has another kind of pace than lines[0]; give all lines boards_per_hour, or all face_m2_per_hour")
		}
		in.lines.Paces = append(in.lines.Paces, pace)
		sum += pace
		in.fills = append(in.fills, in.readFills(p, path, m.GetFills()))
	}
	if sum == 0 && p.Err(nil) == nil {
		p.Add("lines", "are all stopped; at least one needs a pace above 0")
	}
	return nil
}

// readFills reads what a line has made and reserved.
func (in *sharing) readFills(p *wire.Parts, path string, fills []*ripwrightv1.SharingFill) filled {
	out := make(filled, len(in.items))
	for i := range in.items {
		out[i].cuts = make([]struct{ made, reserved int64 }, len(in.items[i].Cuts))
	}
	if !p.Entries(path+".fills", len(fills), ranges.SharingFills) || len(in.items) == 0 {
		return out
	}
	at, seen := map[string]int{}, map[int]int{}
	for i := range in.items {
		at[in.items[i].ID] = i
	}
	for k, f := range fills {
		below := fmt.Sprintf("%s.fills[%d]", path, k)
		if !p.Text(below+".item_id", f.GetItemId(), ranges.OwnID) {
			continue
		}
		i, ok := at[f.GetItemId()]
		if !ok {
			if in.sound {
				p.Because(fault.UnknownName, below+".item_id", "is %q; the order has no such item", f.GetItemId())
			}
			continue
		}
		if before, twice := seen[i]; twice {
			p.Because(fault.Duplicate, below+".item_id", "is %q, which fills[%d] has too; name each item at most once", f.GetItemId(), before)
		}
		seen[i] = k
		it := &in.items[i]
		amount := func(name string, m *ripwrightv1.Amount) int64 {
			if m == nil {
				return 0
			}
			count, v := p.Amount(below+"."+name, it.Random, m)
			if it.Measure != order.Unlimited && count != order.Unlimited && count != it.Measure {
				p.Add(below+"."+name, "is in another unit than required of the item %q in the order", it.ID)
			}
			return v
		}
		out[i].made, out[i].reserved = amount("made", f.Made), amount("reserved", f.Reserved)
		in.readLengths(p, below, it, f.GetLengths(), out[i].cuts)
	}
	return out
}

func (in *sharing) readLengths(p *wire.Parts, path string, it *order.Item, lengths []*ripwrightv1.SharingLengthFill, out []struct{ made, reserved int64 }) {
	if !p.Entries(path+".lengths", len(lengths), ranges.SharingLengths) {
		return
	}
	seen := map[int]bool{}
	for n, m := range lengths {
		below := fmt.Sprintf("%s.lengths[%d]", path, n)
		length := p.MM(below+".length_mm", m.GetLengthMm(), ranges.CutLength)
		made := int64(p.Number(below+".made", float64(m.GetMade()), ranges.Pieces))
		reserved := int64(p.Number(below+".reserved", float64(m.GetReserved()), ranges.Pieces))
		c := slices.IndexFunc(it.Cuts, func(c order.Cut) bool { return c.Length == length })
		switch {
		case length == 0 || !in.sound: // there is another fault
		case c < 0:
			p.Because(fault.UnknownName, below+".length_mm", "is %g, which is not a crosscut length of the item %q", m.GetLengthMm(), it.ID)
		case seen[c]:
			p.Because(fault.Duplicate, below+".length_mm", "is %g, which is given twice; name each length at most once", m.GetLengthMm())
		default:
			seen[c] = true
			out[c].made, out[c].reserved = made, reserved
		}
	}
}

// stand computes what is open, and counts what lines have made or reserved in the items
// for which values are planned.
func (in *sharing) stand() {
	in.lines.Items = order.CloneItems(in.items)
	strip := unit.Length(0)
	for i := range in.lines.Boards {
		strip = max(strip, in.lines.Boards[i].Board.Length)
	}
	if strip == 0 {
		strip = usualStrip
	}
	pace := share.Weights(in.lines.Paces)
	add := func(item, cut int, required int64, made *int64, most int64, of func(filled) (made, reserved int64)) {
		w := wanted{item: item, cut: cut, Amount: share.Amount{Open: max(required-*made, 0), Weights: pace}}
		for _, f := range in.fills {
			made, reserved := of(f)
			w.Open -= min(made, w.Open)
			w.Reserved = append(w.Reserved, reserved)
		}
		left := w.Open
		for _, r := range w.Reserved {
			left -= min(r, left)
		}
		*made = min(max(required-left, *made), most)
		w.Unit, w.Size = in.unit(item, cut, strip)
		in.amounts = append(in.amounts, w)
	}
	for i := range in.lines.Items {
		it := &in.lines.Items[i]
		for c := range it.Cuts {
			if cut := &it.Cuts[c]; cut.Limited {
				add(i, c, cut.Required, &cut.Made, order.MaxPieces, func(f filled) (int64, int64) { return f[i].cuts[c].made, f[i].cuts[c].reserved })
			}
		}
		if it.Measure != order.Unlimited {
			add(i, demand.Whole, it.Required, &it.Made, order.MaxAmount, func(f filled) (int64, int64) { return f[i].made, f[i].reserved })
		}
	}
}

// unit is the unit in which an amount is divided, about a strip, and the lumber that one
// unit takes, in mm2.
func (in *sharing) unit(item, cut int, strip unit.Length) (of int64, size float64) {
	it := &in.items[item]
	wide, pieces := it.Min.MM(), func(length unit.Length) int64 { return max(int64(strip/max(length, 1)), 1) }
	switch {
	case cut != demand.Whole:
		return pieces(it.Cuts[cut].Length), wide * it.Cuts[cut].Length.MM()
	case it.Measure == order.ByLength:
		return int64(strip.Floor()), wide / 1e3
	case it.Measure == order.ByArea:
		return int64(strip.Floor()) * int64(it.Min.Floor()), 1e-6
	case it.PieceLength > 0:
		return pieces(it.PieceLength), wide * it.PieceLength.MM()
	}
	return 1, wide * strip.MM()
}

// anyOpen reports whether anything is left to plan values for.
func (in *sharing) anyOpen() bool {
	d, _ := demand.New(in.lines.Items)
	return len(d.Rows) > 0
}

// faults are those that the solver finds, before the request waits for its turn.
func (in *sharing) faults() (l fault.List) {
	had := map[string]bool{}
	add := func(more fault.List) {
		for _, f := range more {
			if !had[f.Path] {
				had[f.Path] = true
				l = append(l, f)
			}
		}
	}
	add(demand.Unplannable(in.items))
	var widest *wood.Board // which shows whether the step is too fine
	for k := range in.lines.Boards {
		b := &in.lines.Boards[k].Board
		var own fault.List
		own.Within(fmt.Sprintf("expected[%d]", k), b.Faults())
		add(own)
		if widest == nil || b.GreatestWidth() > widest.GreatestWidth() {
			widest = b
		}
	}
	steps, alike := int64(mostCutSteps), map[string]bool{}
	for i, s := range in.lines.Saws {
		name := s.Fingerprint()
		if in.lines.Paces[i] == 0 || alike[name] {
			continue // it makes nothing any more, or is like another one
		}
		alike[name] = true
		var own fault.List
		own.Within(fmt.Sprintf("lines[%d].saw", i), s.Faults())
		own.Within("order", order.Faults(in.items, &s))
		for k := range own {
			own[k].Says = strings.ReplaceAll(own[k].Says, "than saw.", fmt.Sprintf("than lines[%d].saw.", i))
		}
		add(own)
		if len(l) > 0 || widest == nil {
			continue
		}
		q := values.Problem{Saw: s, Items: in.items}
		for _, f := range q.BoardFaults(widest) {
			if rest, ok := strings.CutPrefix(f.Path, "saw"); ok {
				f.Path = fmt.Sprintf("lines[%d].saw%s", i, rest)
			}
			add(fault.List{f})
		}
		if d, _ := demand.New(in.lines.Items); len(l) == 0 && len(d.Rows) > 0 {
			add(d.CutFaults(&s, in.longest(), &steps))
		}
	}
	if len(in.amounts) == 0 && len(l) == 0 {
		l.Add("order.items", "want nothing; sharing needs an item with a requirement")
	}
	if len(l) == 0 && len(in.lines.Boards) == 0 && !in.lines.Alike() {
		l.Because(fault.Missing, "expected", "is empty; an order is shared among different saws by what each makes of boards; give boards like those to come")
	}
	return l
}

func (in *sharing) longest() (most unit.Length) {
	for i := range in.lines.Boards {
		most = max(most, in.lines.Boards[i].Board.Length)
	}
	return most
}

// holds is the size of the request while it waits and is planned, in bytes.
func (in *sharing) holds() int64 {
	return int64(len(in.lines.Boards))*perBoard + int64(len(in.amounts))*int64(len(in.fills))*perSharedAmount
}

// perSharedAmount is the size of an amount of a line.
const perSharedAmount = 64

// due converts a due in boards of all lines to boards of one line.
func due(boards int32, pace, all float64) int32 {
	return int32(max(math.Floor(float64(boards)*pace/all), 1))
}
