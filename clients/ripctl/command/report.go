package command

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// report shows the answers about boards in the requested form.
type report struct {
	t      *tool
	boards int // number expected
	done   int
	table  *tabwriter.Writer // of several boards, one row each
	rows   *csv.Writer
	bar    *progress
	face   ripwrightv1.Account // totals
	worth  float64
}

// longWork is the number of boards from which progress is shown.
const longWork = 20

func newReport(t *tool, boards int) *report {
	r := &report{t: t, boards: boards}
	switch {
	case t.csv:
		r.rows = csv.NewWriter(t.out)
		_ = r.rows.Write(csvHeader) // Flush reports output errors
	case !t.json && boards > 1:
		r.table = newTable(t.out)
		fmt.Fprintln(r.table, "board\tfence\tblades\tstrips\tworth\tyield\tproven")
	}
	if boards >= longWork {
		r.bar = t.progress("boards")
	}
	return r
}

// writeJSON writes an answer on one line, fields as the schema names them.
func (t *tool) writeJSON(m proto.Message) error {
	text, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(m)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := json.Compact(&b, text); err != nil { // protojson varies its spaces
		return err
	}
	b.WriteByte('\n')
	_, err = t.out.Write(b.Bytes())
	return err
}

// solved shows the result of a board.
func (r *report) solved(b board, a *ripwrightv1.SolveBoardResponse) error {
	p := a.GetPlan()
	r.done++
	r.add(p)
	if r.bar != nil {
		r.bar.set(r.done, r.boards)
	}
	switch {
	case r.t.json:
		return r.t.writeJSON(a)
	case r.rows != nil:
		for _, row := range csvRows(a.GetBoardId(), p) {
			_ = r.rows.Write(row)
		}
		r.rows.Flush()
		return r.rows.Error()
	case r.table != nil:
		_, err := fmt.Fprintf(r.table, "%s\t%s\t%s\t%s\t%.2f\t%.1f %%\t%s\n", b.name(), r.t.width(p.GetSetting().GetFenceMm()), r.t.positions(p.GetSetting().GetBladesMm()), turnedStrips(p),
			p.GetWorth(), 100*p.GetAccount().GetYieldRatio(), yesNo(a.GetProof().GetProven()))
		return err
	}
	fmt.Fprintf(r.t.out, "Board %s, %s long\n", b.name(), r.t.long(b.GetLengthMm()))
	r.t.plan(p)
	if c := a.GetCycle(); c.GetCost() > 0 {
		fmt.Fprintf(r.t.out, "Of its worth %.2f is left after %.1f s of saw time, which cost %.2f%s.\n", a.GetProof().GetWorth(), c.GetTotalS(), c.GetCost(), andTurning(p))
	}
	r.t.instructed(a.GetInstructed())
	if d := a.GetDoNotFeed(); d != nil {
		fmt.Fprintf(r.t.out, "Nothing to gain: %s\n", d.GetSays())
	}
	r.t.warnings(a.GetWarnings())
	if !a.GetProof().GetProven() {
		fmt.Fprintf(r.t.out, "Not proven: no plan is worth more than %.2f, and the search was stopped.\n", a.GetProof().GetBound())
	}
	for i, q := range a.GetRunnersUp() {
		fmt.Fprintf(r.t.out, "\nRunner-up %d\n", i+1)
		r.t.plan(q)
	}
	return nil
}

func andTurning(p *ripwrightv1.Plan) string {
	if p.GetTurnCost() > 0 {
		return ", and after turning the board"
	}
	return ""
}

func (r *report) add(p *ripwrightv1.Plan) {
	a := p.GetAccount()
	r.worth += p.GetWorth()
	r.face.FaceM2 += a.GetFaceM2()
	r.face.StripM2 += a.GetStripM2()
}

// abandon ends the output where it was interrupted.
func (r *report) abandon() {
	if r.bar != nil {
		r.bar.end()
	}
	if r.table != nil && r.done > 0 {
		_ = r.table.Flush()
	}
}

// end completes the report with the final state of the order.
func (r *report) end(order *ripwrightv1.CutOrder) error {
	r.abandon()
	if r.t.json || r.rows != nil {
		return nil
	}
	if r.boards > 1 && r.face.GetFaceM2() > 0 {
		fmt.Fprintf(r.t.out, "\n%d boards, %s, worth %.2f, yield %.1f %%\n", r.boards, r.t.system().Area(r.face.GetFaceM2()),
			r.worth, 100*r.face.GetStripM2()/r.face.GetFaceM2())
	}
	fmt.Fprintln(r.t.out, "\nThe order once this is cut")
	return r.t.order(order)
}

// turnedStrips says how a plan turns the board, if it does, and what it makes.
func turnedStrips(p *ripwrightv1.Plan) string {
	if isTurned(p) {
		return "turned " + turnWords(p.GetSetting().GetTurn()) + ": " + strips(p)
	}
	return strips(p)
}

// strips says what a plan makes: 2 stile, 1 rail.
func strips(p *ripwrightv1.Plan) string {
	count, names := map[string]int{}, []string{}
	for _, k := range p.GetPockets() {
		if id := ofOrder(k.GetItemId(), k.GetOrderId()); id != "" {
			if count[id] == 0 {
				names = append(names, id)
			}
			count[id]++
		}
	}
	for i, n := range names {
		names[i] = strconv.Itoa(count[n]) + " " + n
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// ofOrder is the name of an item that may belong to another order than the board's own.
func ofOrder(item, order string) string {
	if order == "" {
		return item
	}
	return item + " for " + order
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

var csvHeader = []string{"board_id", "fence_mm", "pocket", "item_id", "near_mm", "far_mm", "width_mm", "counted_length_m", "worth", "stack", "turn"}

func csvRows(id string, p *ripwrightv1.Plan) (rows [][]string) {
	n, turn := exactly, ""
	if p.GetSetting().GetTurn() != ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED {
		turn = turnWords(p.GetSetting().GetTurn())
	}
	for i, k := range p.GetPockets() {
		rows = append(rows, []string{id, n(p.GetSetting().GetFenceMm()), strconv.Itoa(i), k.GetItemId(), n(k.GetNearMm()), n(k.GetFarMm()),
			n(k.GetWidthMm()), n(k.GetCountedLengthM()), n(k.GetWorth()), k.GetStack(), turn})
	}
	return rows
}
