package wire

import (
	"math"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/proto/limits"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	quoting "github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The solver takes what the schema publishes. Each of its bounds follows from one field
// (solver/internal/published); here are the other fields that it bounds by the same, and
// ranges about zero.
func TestSolverTakesWhatIsPublished(t *testing.T) {
	for what, c := range map[string]struct {
		got, want limits.Range
	}{
		"across":                   {across, limits.Range{Least: -wood.MaxAcross.MM(), Most: wood.MaxAcross.MM()}},
		"position":                 {position, limits.Range{Least: -saw.MaxPosition.MM(), Most: saw.MaxPosition.MM()}},
		"thickness":                {thickness, limits.Range{Most: wood.MaxAcross.MM(), Above: true}},
		"alongBoard":               {alongBoard, limits.Range{Most: wood.MaxLength.MM()}},
		"settingBlades":            {settingBlades, limits.Range{Most: saw.MaxBlades}},
		"gap":                      {gap, limits.Range{Most: saw.MaxPosition.MM(), Above: true}},
		"reripWidth":               {reripWidth, limits.Range{Most: saw.MaxPosition.MM(), Above: true}},
		"skew":                     {skew, limits.Range{Least: -saw.MaxSkew.MM(), Most: saw.MaxSkew.MM()}},
		"pieceLength":              {pieceLength, limits.Range{Most: order.MaxLength.MM(), Above: true}},
		"areaM2":                   {areaM2, limits.Range{Most: float64(order.MaxAmount) / squareMicrometres}},
		"cutLength":                {cutLength, limits.Range{Least: order.MinCut.MM(), Most: order.MaxLength.MM()}},
		"joint":                    {joint, limits.Range{Most: order.MaxWidth.MM()}},
		"oneRun":                   {oneRun, limits.Range{Most: order.MaxLength.MM(), Above: true}},
		"plans: TagWidth":          {ForPlans.TagWidth, limits.Range{Most: wood.MaxAcross.MM(), Above: true}},
		"plans: Deviation":         {ForPlans.Deviation, limits.Range{Most: lumber.MaxWidth.MM()}},
		"plans: Taper":             {ForPlans.Taper, limits.Range{Most: lumber.MaxWidth.MM()}},
		"plans: ReplanEveryBoards": {ForPlans.ReplanEveryBoards, limits.Range{Most: quoting.MostBoards, Whole: true}},
		"plans: Increment":         {ForPlans.Increment, limits.Range{Least: saw.MinStep.MM(), Most: saw.MaxPosition.MM()}},
		"plans: Blades":            {ForPlans.Blades, limits.Range{Most: saw.MaxBlades}},
		"tallies: Lines":           {ForTally.Lines, limits.Range{Least: 1, Most: tally.MaxBoards}},
		"tallies: SomeBoardFeet":   {ForTally.SomeBoardFeet, limits.Range{Most: float64(tally.MaxBoardFeet) / millionths, Above: true}},
		"tallies: Pieces":          {ForTally.Pieces, limits.Range{Most: tally.MaxPieces, Whole: true}},
		"a runner-up of a plan":    {whichRunUp, limits.Range{Most: runnersUp.Most - 1, Whole: true}},
		"whole numbers":            {pieces, limits.Range{Most: math.MaxInt32, Whole: true}},
	} {
		if c.got != c.want {
			t.Errorf("%s: the schema publishes %s and the solver takes %s", what, c.got, c.want)
		}
	}
}

// Where the solver compares with the least itself, it takes what the schema publishes.
func TestSolverTakesTheLeastThatIsPublished(t *testing.T) {
	for _, c := range []struct {
		least float64
		above bool
		of    map[string]limits.Range
	}{
		{0, false, map[string]limits.Range{
			"leastLimit": leastLimit, "value": value, "defects": defects, "kerf": kerf, "skewLimit": skewLimit,
			"handling": handling, "items": items, "runLength": runLength, "tolerance": tolerance, "lengthM": lengthM,
			"accepted": accepted, "cuts": cuts, "endTrim": endTrim, "sawHour": sawHour, "expectedBoards": expectedBoards,
			"plans: Crook": ForPlans.Crook, "tallies: Boards": ForTally.Boards, "tallies: PastPacks": ForTally.PastPacks,
			"tallies: Price": ForTally.Price, "tallies: BoardFeet": ForTally.BoardFeet,
			"tallies: Percent": ForTally.Percent, "tallies: Surface": ForTally.Surface,
		}},
		{0, true, map[string]limits.Range{
			"mostLimit": mostLimit, "boardLength": boardLength, "stripWidth": stripWidth, "panelWidth": panelWidth,
		}},
		{0.01, false, map[string]limits.Range{"plans: Times": ForPlans.Times}},
		{1, false, map[string]limits.Range{
			"stations": stations, "defectKind": defectKind, "blades": blades, "dueBoards": dueBoards, "inFlight": inFlight,
			"plans: Lots": ForPlans.Lots, "plans: Kinds": ForPlans.Kinds, "plans: SampleBoards": ForPlans.SampleBoards,
			"plans: Count": ForPlans.Count, "plans: Width": ForPlans.Width, "plans: Simulations": ForPlans.Simulations,
			"plans: MaxBoards": ForPlans.MaxBoards, "plans: Orders": ForPlans.Orders,
			"plans: Suggestions": ForPlans.Suggestions, "plans: Settings": ForPlans.Settings, "plans: Jobs": ForPlans.Jobs,
			"plans: Arbors": ForPlans.Arbors, "plans: JobWeight": ForPlans.JobWeight,
			"tallies: Packs": ForTally.Packs, "tallies: SomePieces": ForTally.SomePieces,
		}},
	} {
		for what, g := range c.of {
			if want := (limits.Range{Least: c.least, Most: g.Most, Above: c.above, Whole: g.Whole}); g != want {
				t.Errorf("%s: the schema publishes %s and the solver takes %s", what, g, want)
			}
		}
	}
}

// Every length that the schema publishes can be read: the solver's unit bounds them all.
func TestLengthsFitTheUnit(t *testing.T) {
	lengths := 0
	for _, l := range limits.All {
		if l.Counts != limits.Numbers || !strings.HasSuffix(l.Field, "_mm") {
			continue
		}
		lengths++
		if l.Range.Least < -unit.MaxMM || l.Range.Most > unit.MaxMM {
			t.Errorf("%s.%s: the schema publishes %s, and the unit takes %g at most", l.Message, l.Field, l.Range, unit.MaxMM)
		}
	}
	if lengths < 50 {
		t.Errorf("only %d lengths", lengths)
	}
}
