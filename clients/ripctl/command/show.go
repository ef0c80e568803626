package command

import (
	"fmt"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit"
)

// width shows millimetres as a width or a position.
func (t *tool) width(mm float64) string {
	l, _ := unit.FromMM(mm)
	return t.system().Width(l)
}

// long shows millimetres as a length along a board.
func (t *tool) long(mm float64) string {
	l, _ := unit.FromMM(mm)
	return t.system().Long(l)
}

// positions lists the positions of the blades.
func (t *tool) positions(mm []float64) string {
	all := make([]string, len(mm))
	for i, at := range mm {
		all[i] = strings.TrimSuffix(strings.TrimSuffix(t.width(at), " mm"), " in")
	}
	return strings.Join(all, " ") + " " + t.units
}

// plan shows one plan.
func (t *tool) plan(p *ripwrightv1.Plan) {
	fmt.Fprintf(t.out, "fence   %s\nblades  %s\n", t.width(p.GetSetting().GetFenceMm()), t.positions(p.GetSetting().GetBladesMm()))
	if s := p.GetSetting().GetSkewMmPerM(); s != 0 {
		fmt.Fprintf(t.out, "skew    %g mm per m\n", s)
	}
	if isTurned(p) {
		fmt.Fprintf(t.out, "turn    %s, which costs %.2f; all positions are those of the board once it is turned\n", turnWords(p.GetSetting().GetTurn()), p.GetTurnCost())
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "\nstrip\tblades\twidth\tlength\tworth\tstack")
	for _, k := range p.GetPockets() {
		name := k.GetItemId()
		if name == "" {
			name = "-"
		}
		from, to := blade(k.NearBlade), blade(k.FarBlade)
		length := fmt.Sprintf("%s\t%.2f", t.long(k.GetCountedLengthM()*1000), k.GetWorth())
		if k.GetItemId() == "" {
			length = "\t"
		}
		fmt.Fprintf(w, "%s\t%s-%s\t%s\t%s\t%s\n", name, from, to, t.width(k.GetWidthMm()), length, k.GetStack())
	}
	_ = w.Flush()
	a := p.GetAccount()
	fmt.Fprintf(t.out, "\nworth %.2f; yield %.1f %% of %s", p.GetWorth(), 100*a.GetYieldRatio(), t.system().Area(a.GetFaceM2()))
	if a.BoardFeet != nil {
		fmt.Fprintf(t.out, ", %.2f board feet", a.GetBoardFeet())
	}
	if f := a.GetFaceM2(); f > 0 {
		fmt.Fprintf(t.out, "\nend trim %.1f %%, offcut %.1f %%, edging %.1f %%, kerf %.1f %%", 100*a.GetEndTrimM2()/f, 100*a.GetOffcutM2()/f,
			100*a.GetEdgingM2()/f, 100*a.GetKerfM2()/f)
	}
	fmt.Fprintln(t.out)
}

// isTurned reports whether a plan turns the board before it is fed.
func isTurned(p *ripwrightv1.Plan) bool {
	turn := p.GetSetting().GetTurn()
	return turn != ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED && turn != ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED
}

// blade says which blade bounds a pocket, counted from 1, or that the edge does.
func blade(i *int32) string {
	if i == nil {
		return "edge"
	}
	return fmt.Sprint(*i + 1)
}

func (t *tool) warnings(all []*ripwrightv1.Warning) {
	for _, w := range all {
		fmt.Fprintf(t.out, "Worth a look: %s %s\n", w.GetPath(), w.GetSays())
	}
}

// order shows what is made of an order and what is still open.
func (t *tool) order(o *ripwrightv1.CutOrder) error {
	w := newTable(t.out)
	fmt.Fprintln(w, "item\twidth\trequired\tmade\tstill open")
	for _, it := range o.GetItems() {
		required, open := "no limit", ""
		if it.Required != nil {
			required, open = t.amount(it.GetRequired()), t.amount(left(it))
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", it.GetItemId(), t.widthOf(it), required, t.amount(it.GetMade()), open)
		for _, l := range it.GetCrosscut().GetLengths() {
			required, open := "no limit", ""
			if l.Required != nil {
				required, open = fmt.Sprint(l.GetRequired(), " pieces"), fmt.Sprint(max(l.GetRequired()-l.GetMade(), 0), " pieces")
			}
			fmt.Fprintf(w, "  cut to %s\t\t%s\t%d pieces\t%s\n", t.long(l.GetLengthMm()), required, l.GetMade(), open)
		}
	}
	return w.Flush()
}

// widthOf shows an item's width or range.
func (t *tool) widthOf(it *ripwrightv1.Item) string {
	if g := it.GetRange(); g != nil {
		return t.width(g.GetMinMm()) + " to " + t.width(g.GetMaxMm())
	}
	return t.width(it.GetWidthMm())
}

// left is what an item with a requirement still wants, in its unit.
func left(it *ripwrightv1.Item) *ripwrightv1.Amount {
	need, made := it.GetRequired(), it.GetMade()
	switch need.GetAmount().(type) {
	case *ripwrightv1.Amount_AreaM2:
		return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: max(need.GetAreaM2()-made.GetAreaM2(), 0)}}
	case *ripwrightv1.Amount_Pieces:
		return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: max(need.GetPieces()-made.GetPieces(), 0)}}
	}
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: max(need.GetLengthM()-made.GetLengthM(), 0)}}
}

func (t *tool) amount(a *ripwrightv1.Amount) string {
	switch v := a.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		return t.system().Lineal(v.LengthM)
	case *ripwrightv1.Amount_AreaM2:
		return t.system().Area(v.AreaM2)
	case *ripwrightv1.Amount_Pieces:
		return fmt.Sprint(v.Pieces, " pieces")
	}
	return "nothing"
}
