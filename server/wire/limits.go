package wire

import (
	"math"
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Range is what a field of a request takes: numbers, or so many characters of a
// string or entries of a list.
type Range struct {
	Least, Most float64
	Above       bool // Least itself is not taken
	Whole       bool // whole numbers only
}

// Holds reports whether v is taken. NaN never is.
func (g Range) Holds(v float64) bool {
	return v >= g.Least && v <= g.Most && (!g.Above || v > g.Least) && (!g.Whole || v == math.Trunc(v))
}

// String says the range as the schema's comments and the README do.
func (g Range) String() string {
	if g.Above {
		return "above " + plain(g.Least) + " and at most " + plain(g.Most)
	}
	return plain(g.Least) + " to " + plain(g.Most)
}

// Wanted says what a number must be.
func (g Range) Wanted() string {
	if g.Whole {
		return "a whole number, " + g.String()
	}
	return "a number, " + g.String()
}

// plain writes a number as people do: with all its digits while they can be
// counted at a glance.
func plain(v float64) string {
	if a := math.Abs(v); v == 0 || a >= 1e-6 && a < 1e10 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strings.NewReplacer("e+", "e", "e-0", "e-").Replace(strconv.FormatFloat(v, 'g', -1, 64))
}

// Amounts are whole micrometres, square micrometres or pieces; money is in
// whole millionths.
const (
	micrometres       = 1e6
	squareMicrometres = 1e12
	millionths        = 1e6
)

// MaxState bounds the state of a line in bytes. With all that stands beside it in
// an answer, and in the message that resumes, it stays within the 4 MiB that gRPC
// takes unless told otherwise.
const MaxState = 3 << 20

// The ranges that fields have in common. Where the solver bounds a quantity its
// own bound is the one published.
var (
	ids        = Range{Most: 128}
	ownIDs     = Range{Least: 1, Most: 128}
	across     = Range{Least: -wood.MaxAcross.MM(), Most: wood.MaxAcross.MM()}
	position   = Range{Least: -saw.MaxPosition.MM(), Most: saw.MaxPosition.MM()}
	leastLimit = Range{Most: unit.MaxMM}
	mostLimit  = Range{Most: unit.MaxMM, Above: true}
	value      = Range{Most: float64(saw.MaxValue) / millionths}

	boardLength = Range{Most: wood.MaxLength.MM(), Above: true}
	thickness   = Range{Most: wood.MaxAcross.MM(), Above: true}
	stations    = Range{Least: 1, Most: wood.MaxStations}
	alongBoard  = Range{Most: wood.MaxLength.MM()}
	defects     = Range{Most: wood.MaxDefects}
	defectKind  = Range{Least: 1, Most: wood.MaxKind}

	kerf          = Range{Most: saw.MaxKerf.MM()}
	step          = Range{Least: saw.MinStep.MM(), Most: saw.MaxStep.MM()}
	blades        = Range{Least: 1, Most: saw.MaxBlades}
	settingBlades = Range{Most: saw.MaxBlades}
	gap           = Range{Most: saw.MaxPosition.MM(), Above: true}
	reripWidth    = Range{Most: saw.MaxPosition.MM(), Above: true}
	skewLimit     = Range{Most: saw.MaxSkew.MM()}
	skew          = Range{Least: -saw.MaxSkew.MM(), Most: saw.MaxSkew.MM()}

	feed        = Range{Least: run.MinFeed, Most: run.MaxFeed}
	positioning = Range{Least: run.MinPositioning, Most: run.MaxPositioning}
	handling    = Range{Most: run.MaxHandling}

	items       = Range{Most: order.MaxItems}
	stripWidth  = Range{Most: order.MaxWidth.MM(), Above: true}
	runLength   = Range{Most: order.MaxLength.MM()}
	pieceLength = Range{Most: order.MaxLength.MM(), Above: true}
	dueBoards   = Range{Least: 1, Most: order.MaxDue, Whole: true}
	tolerance   = Range{Most: order.MaxTolerance.MM()}
	lengthM     = Range{Most: float64(order.MaxAmount) / micrometres}
	areaM2      = Range{Most: float64(order.MaxAmount) / squareMicrometres}
	pieces      = Range{Most: math.MaxInt32, Whole: true}
	accepted    = Range{Most: order.MaxAccepted}
	cuts        = Range{Most: order.MaxCuts}
	cutLength   = Range{Least: order.MinCut.MM(), Most: order.MaxLength.MM()}
	endTrim     = Range{Most: order.MaxTrim.MM()}
	panelWidth  = Range{Most: order.MaxPanel.MM(), Above: true}
	joint       = Range{Most: order.MaxWidth.MM()}

	runnersUp = Range{Most: 20, Whole: true}
	timeLimit = Range{Most: 3_600_000, Above: true}
	workLimit = Range{Least: 1, Most: 1e15, Whole: true}
	sawHour   = Range{Most: paced.MaxPricePerHour}

	sequence  = Range{Most: math.MaxInt32, Whole: true}
	ofBoard   = Range{Least: 1, Most: math.MaxInt32, Whole: true}
	inFlight  = Range{Least: 1, Most: run.MaxInFlight, Whole: true}
	threshold = Range{Most: 100, Above: true}

	everyBoards    = Range{Least: 1, Most: 1000, Whole: true}
	expectedBoards = Range{Most: replan.MaxBoards}

	// PageSize and PageToken are those of the list of saws.
	PageSize  = Range{Least: 1, Most: 100, Whole: true}
	PageToken = Range{Most: 1024}

	state      = Range{Least: 1, Most: MaxState}
	whichRunUp = Range{Most: runnersUp.Most - 1, Whole: true}
	strips     = Range{Most: 64}
	runs       = Range{Most: 100}
	oneRun     = Range{Most: order.MaxLength.MM(), Above: true}
	pieceCount = Range{Most: 10_000, Whole: true}
)
