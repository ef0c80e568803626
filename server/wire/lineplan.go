package wire

import (
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
)

// LinePlan gives a board's plan with what the line needs to cut it. from says how the
// saw's positions before it are known.
func (l *Line) LinePlan(j *Job, r *rip.Result, from run.Known, waited, took time.Duration) *ripwrightv1.LinePlan {
	out := &ripwrightv1.LinePlan{
		BoardId:        j.BoardID,
		Plan:           j.plan(r.Best),
		Proof:          j.proof(r),
		SawFingerprint: j.fingerprint(),
		Warnings:       j.warnings(),
		Targets:        j.targets(r.Best),
		CutLines:       j.cutLines(r.Best),
		StackWarnings:  l.mixedStrips(j, r.Best),
		Cycle:          j.cycle(r.Best),
		QueueTimeUs:    micros(waited),
		SolveTimeUs:    micros(took),
		Start:          &ripwrightv1.LineStart{Basis: bases[from.By]},
		DoNotFeed:      j.doNotFeed(r),
		Instructed:     j.instructed(),

		ArborFingerprint: j.Problem.Saw.ArborFingerprint(),
	}
	if from.Board > 0 {
		out.Start.BoardSequence = proto.Int32(from.Board)
	}
	for _, p := range r.RunnersUp {
		out.RunnersUp = append(out.RunnersUp, j.plan(p))
	}
	return out
}

var bases = map[run.Basis]ripwrightv1.StartBasis{
	run.StandAssumed:  ripwrightv1.StartBasis_START_BASIS_ASSUMED,
	run.StandSetUp:    ripwrightv1.StartBasis_START_BASIS_SET_UP,
	run.StandMeasured: ripwrightv1.StartBasis_START_BASIS_MEASURED,
	run.StandCut:      ripwrightv1.StartBasis_START_BASIS_CUT,
	run.StandAhead:    ripwrightv1.StartBasis_START_BASIS_AHEAD,
}

func (j *Job) targets(p *rip.Plan) []*ripwrightv1.Target {
	s := &j.Problem.Saw
	all := []*ripwrightv1.Target{{Axis: ripwrightv1.Axis_AXIS_FENCE, FromPosition: proto.Float64(s.Fence.Current.MM()), ToPosition: p.Fence.MM()}}
	for i, b := range s.Blades {
		if b.Moving {
			all = append(all, &ripwrightv1.Target{Axis: ripwrightv1.Axis_AXIS_BLADE, Blade: proto.Int32(int32(i)),
				FromPosition: proto.Float64(b.Travel.Current.MM()), ToPosition: p.Blades[i].MM()})
		}
	}
	if s.Skew > 0 {
		all = append(all, &ripwrightv1.Target{Axis: ripwrightv1.Axis_AXIS_SKEW, FromPosition: j.lies, ToPosition: p.Skew.MM()})
	}
	return all
}

// cutLines gives the kerfs in the wood on the board as it was scanned.
func (j *Job) cutLines(p *rip.Plan) (all []*ripwrightv1.CutLine) {
	lies, kerf := j.lying(p), j.Problem.Saw.Kerf
	for i, at := range p.Blades {
		y := at - p.Fence
		if !lies.Meets(y, y+kerf) {
			continue
		}
		start, end := j.cutLine(p, &lies, y)
		all = append(all, &ripwrightv1.CutLine{Blade: int32(i), StartMm: start.MM(), EndMm: end.MM(), KerfMm: kerf.MM()})
	}
	return all
}

// mixedStrips warns of strips of a plan that the stacker could mix, by their real widths,
// once for each pair of items.
func (l *Line) mixedStrips(j *Job, p *rip.Plan) []*ripwrightv1.StackWarning {
	var widths []run.Width
	var items []int
	for i := range p.Pockets {
		if pk := &p.Pockets[i]; pk.Item != rip.None {
			widths = append(widths, run.Width{Min: pk.Width(), Max: pk.Width(), Stack: j.Items[pk.Item].Stack})
			items = append(items, pk.Item)
		}
	}
	return l.warn(run.Alike(widths, l.Threshold), items, j.Named)
}

// MixedItems warns of items of the order that the stacker could mix.
func (l *Line) MixedItems() []*ripwrightv1.StackWarning {
	if l.Threshold == 0 {
		return nil
	}
	widths, items := make([]run.Width, len(l.Items)), make([]int, len(l.Items))
	for i := range l.Items {
		widths[i], items[i] = run.Width{Min: l.Items[i].Min, Max: l.Items[i].Max, Stack: l.More[i].Stack}, i
	}
	return l.warn(run.Alike(widths, l.Threshold), items, func(i int) (order, id string) { return "", l.Items[i].ID })
}

// warn names pairs by their items, each pair once with the smallest distance.
func (l *Line) warn(near []run.Near, items []int, named func(int) (order, id string)) (all []*ripwrightv1.StackWarning) {
	if l.Threshold == 0 {
		return nil
	}
	seen := map[[2]int]*ripwrightv1.StackWarning{}
	for _, n := range near {
		a, b := min(items[n.A], items[n.B]), max(items[n.A], items[n.B])
		w := seen[[2]int{a, b}]
		if w == nil {
			w = &ripwrightv1.StackWarning{ApartMm: n.Apart.MM()}
			w.OrderId, w.ItemId = named(a)
			w.OtherOrderId, w.OtherItemId = named(b)
			seen[[2]int{a, b}] = w
			all = append(all, w)
		}
		w.ApartMm = min(w.ApartMm, n.Apart.MM())
	}
	return all
}
