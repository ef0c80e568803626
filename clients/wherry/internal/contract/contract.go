// Package contract names the words that a PLC and the bridge exchange.
//
// Each word is written by one side only. Numbers have 32 bits and are compared for
// equality or by their difference, so they may wrap; none of them is a toggle, since a
// reader would miss two changes between two reads.
package contract

import "fmt"

// Kind of a word.
type Kind int

// The kinds.
const (
	Number  Kind = iota // 32 bits, unsigned
	Numbers             // an array of them
	Real                // in the unit of the mapping, or of the PLC
	Reals
	Text
)

func (k Kind) String() string {
	return [...]string{"number", "array of numbers", "real number", "array of real numbers", "text"}[k]
}

// Word of the contract.
type Word struct {
	Name string
	Kind Kind
	// Ours says that the bridge writes it; otherwise the PLC does.
	Ours bool
	// Optional words may be missing from a mapping.
	Optional bool
	// Length says that it is a length, in the mapping's unit.
	Length bool
	// Slots says that the array has an entry for each slot of the ring.
	Slots bool
	Says  string
}

// Names of the words.
const (
	Boot           = "boot"
	Life           = "life"
	ScanNumber     = "scan_number"
	BoardID        = "board_id"
	BoardLength    = "length"
	Points         = "points"
	Near           = "near"
	Far            = "far"
	Positions      = "positions"
	Thickness      = "thickness"
	Accepted       = "accepted_number"
	PLCRefused     = "refused_number"
	PLCReason      = "refused_reason"
	Results        = "results"
	ResultBoot     = "result_boot"
	ResultNumber   = "result_number"
	ResultPlan     = "result_plan"
	ResultOutcome  = "result_outcome"
	ResultWidths   = "result_widths"
	BridgeSession  = "bridge_session"
	BridgeLife     = "bridge_life"
	PlanBoardID    = "plan_board_id"
	PlanArbor      = "plan_arbor"
	PlanTurn       = "plan_turn"
	PlanSkew       = "plan_skew"
	PlanFence      = "plan_fence"
	PlanBlades     = "plan_blades"
	PlanStrips     = "plan_strips"
	PlanWidths     = "plan_widths"
	PlanNumber     = "plan_number"
	Declined       = "declined_number"
	DeclinedReason = "declined_reason"
	ResultsTaken   = "results_taken"
)

// Words are all words, in the order of the guide.
var Words = []Word{
	{Name: Boot, Kind: Number, Says: "a number that changes whenever the PLC has lost its counts"},
	{Name: Life, Kind: Number, Says: "heartbeat: counts on while the PLC's program runs"},
	{Name: ScanNumber, Kind: Number, Says: "number of the board that the words describe, written last; 0: none"},
	{Name: BoardID, Kind: Text, Optional: true, Says: "the board's name; without it, one is made of boot and number"},
	{Name: BoardLength, Kind: Real, Length: true, Says: "the board's length"},
	{Name: Points, Kind: Number, Optional: true, Says: "number of entries in use in near, far and positions; without it, all"},
	{Name: Near, Kind: Reals, Length: true, Says: "the edge at the fence, from the leading end on"},
	{Name: Far, Kind: Reals, Length: true, Says: "the edge away from the fence"},
	{Name: Positions, Kind: Reals, Length: true, Optional: true, Says: "where along the board the edges were measured; without it, equally spaced from end to end"},
	{Name: Thickness, Kind: Real, Length: true, Optional: true, Says: "the board's thickness"},
	{Name: Accepted, Kind: Number, Says: "number of the plan that the PLC has copied, checked and accepted"},
	{Name: PLCRefused, Kind: Number, Says: "number of the plan that the PLC has refused"},
	{Name: PLCReason, Kind: Number, Says: "the check of the wiring guide that the plan failed, 1 to 9"},
	{Name: Results, Kind: Number, Says: "number of results that the PLC has written since its boot, written last"},
	{Name: ResultBoot, Kind: Numbers, Slots: true, Optional: true, Says: "by slot: the boot of the board's number, where ring and count outlast a boot; without it, results begin at 0 with each boot"},
	{Name: ResultNumber, Kind: Numbers, Slots: true, Says: "by slot: the board's number"},
	{Name: ResultPlan, Kind: Numbers, Slots: true, Says: "by slot: number of the plan by which it was cut; 0: none"},
	{Name: ResultOutcome, Kind: Numbers, Slots: true, Says: "by slot: the outcome"},
	{Name: ResultWidths, Kind: Reals, Length: true, Optional: true, Says: "by slot: the measured widths of the strips, in the plan's order from the fence outwards; 0: not measured"},
	{Name: BridgeSession, Kind: Number, Ours: true, Says: "number of this bridge's session; a second bridge on the same PLC stops"},
	{Name: BridgeLife, Kind: Number, Ours: true, Says: "heartbeat: counts on while the bridge runs and has its service and its books"},
	{Name: PlanBoardID, Kind: Text, Ours: true, Optional: true, Says: "the board that the plan is for"},
	{Name: PlanArbor, Kind: Text, Ours: true, Says: "the fingerprint of the arbor that the plan is for"},
	{Name: PlanTurn, Kind: Number, Ours: true, Optional: true, Says: "how the board must be turned before it is fed, as a BoardTurn; needed where boards may be turned"},
	{Name: PlanSkew, Kind: Real, Ours: true, Optional: true, Says: "the skew that the infeed must set, in mm across per m along; needed where the saw can set one"},
	{Name: PlanFence, Kind: Real, Ours: true, Length: true, Says: "position of the fence"},
	{Name: PlanBlades, Kind: Reals, Ours: true, Length: true, Says: "positions of the blades, fixed ones among them"},
	{Name: PlanStrips, Kind: Number, Ours: true, Optional: true, Says: "number of strips"},
	{Name: PlanWidths, Kind: Reals, Ours: true, Length: true, Optional: true, Says: "widths of the strips, from the fence outwards"},
	{Name: PlanNumber, Kind: Number, Ours: true, Says: "the board's number, written after the rest of the plan"},
	{Name: DeclinedReason, Kind: Number, Ours: true, Says: "why a board gets no plan"},
	{Name: Declined, Kind: Number, Ours: true, Says: "the number of a board that gets no plan, written last"},
	{Name: ResultsTaken, Kind: Number, Ours: true, Says: "number of results of this boot that are in the books"},
}

// Wrong says what is wrong with an array's number of entries, for a ring of that many
// slots; "": nothing.
func (w Word) Wrong(entries, slots int) string {
	if w.Slots && entries != slots || w.Name == ResultWidths && (entries == 0 || entries%slots != 0) {
		return fmt.Sprintf("has %d elements; the ring has %d slots", entries, slots)
	}
	return ""
}

// Named finds a word by its name.
func Named(name string) (Word, bool) {
	for _, w := range Words {
		if w.Name == name {
			return w, true
		}
	}
	return Word{}, false
}

// Outcome is the outcome of a board in a result.
type Outcome uint32

// The outcomes.
const (
	AsPlanned     Outcome = 1
	AsMeasured    Outcome = 2
	NotCut        Outcome = 3
	SomethingElse Outcome = 4
	SentBack      Outcome = 5
	SetAside      Outcome = 6
)

// Reason is why a board gets no plan.
type Reason uint32

// The reasons.
const (
	BadQuality    Reason = 1  // a word does not have good quality
	BadLength     Reason = 2  // no finite length above 0
	BadEdges      Reason = 3  // not a number, or a far edge that is not beyond the near one
	BadCount      Reason = 4  // fewer entries than points, or fewer than two
	TooLate       Reason = 5  // no plan in time
	Busy          Reason = 6  // the service has no capacity, or too many boards wait for their results
	Invalid       Reason = 7  // the service refuses the board
	Withheld      Reason = 8  // the plan failed the service's own check
	OutOfReach    Reason = 9  // no service answers
	BooksFail     Reason = 10 // the request could not be written to the books
	NothingToGain Reason = 11 // do not feed
	NoRun         Reason = 12 // the run has ended or is refused
	BladesDiffer  Reason = 13 // the plan's blades differ in number from the PLC's words, or it has more strips
	Untold        Reason = 14 // the plan turns or skews the board, and the mapping has no word for that
)

func (r Reason) String() string {
	s, ok := reasons[r]
	if !ok {
		return "unknown"
	}
	return s
}

var reasons = map[Reason]string{
	BadQuality: "bad quality", BadLength: "bad length", BadEdges: "bad edges", BadCount: "bad count", TooLate: "too late",
	Busy: "busy", Invalid: "invalid", Withheld: "withheld", OutOfReach: "out of reach", BooksFail: "books fail",
	NothingToGain: "nothing to gain", NoRun: "no run", BladesDiffer: "blades differ", Untold: "untold",
}
