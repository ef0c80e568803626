package wire

import (
	"github.com/ripwright/ripwright/proto/limits"
)

// Amounts are whole micrometres, square micrometres or pieces; money is in
// whole millionths.
const (
	micrometres       = 1e6
	squareMicrometres = 1e12
	millionths        = 1e6
)

// MaxState bounds the state of a line in bytes. With everything else in an answer, or in
// the message that resumes, it stays within gRPC's default limit of 4 MiB.
var MaxState = int(state.Most)

// of gives the schema's limit of a field.
func of(message, field string, counts limits.Counted) limits.Range {
	return limits.The(message, field, counts)
}

// The ranges by which requests are read, each from one of the fields that have it.
var (
	ids        = of("Board", "board_id", limits.Characters)
	ownIDs     = of("Item", "item_id", limits.Characters)
	across     = of("Station", "near_mm", limits.Numbers)
	position   = of("Travel", "min_mm", limits.Numbers)
	leastLimit = of("SawLimits", "min_length_mm", limits.Numbers)
	mostLimit  = of("SawLimits", "max_length_mm", limits.Numbers)
	value      = of("Rerip", "value_per_m2", limits.Numbers)

	boardLength = of("Board", "length_mm", limits.Numbers)
	thickness   = of("Board", "thickness_mm", limits.Numbers)
	stations    = of("Board", "stations", limits.Entries)
	alongBoard  = of("Station", "x_mm", limits.Numbers)
	defects     = of("Board", "defects", limits.Entries)
	defectKind  = of("Defect", "kind", limits.Characters)

	kerf          = of("Saw", "kerf_mm", limits.Numbers)
	step          = of("Saw", "step_mm", limits.Numbers)
	blades        = of("Saw", "blades", limits.Entries)
	settingBlades = of("Setting", "blades_mm", limits.Entries)
	changedBlades = of("Saw", "blades_changed", limits.Characters)
	gap           = of("Saw", "min_gap_mm", limits.Numbers)
	reripWidth    = of("Rerip", "min_width_mm", limits.Numbers)
	skewLimit     = of("Saw", "max_skew_mm_per_m", limits.Numbers)
	skew          = of("Setting", "skew_mm_per_m", limits.Numbers)

	sawTurns = of("Saw", "turns", limits.Entries)
	turnCost = of("SawTurn", "cost", limits.Numbers)

	feed        = of("Saw", "feed_m_per_min", limits.Numbers)
	positioning = of("Saw", "positioning_mm_per_s", limits.Numbers)
	handling    = of("Saw", "handling_s", limits.Numbers)

	items       = of("CutOrder", "items", limits.Entries)
	stripWidth  = of("Item", "width_mm", limits.Numbers)
	runLength   = of("Item", "min_length_mm", limits.Numbers)
	pieceLength = of("Item", "piece_length_mm", limits.Numbers)
	dueBoards   = of("Item", "due_boards", limits.Numbers)
	tolerance   = of("Item", "tolerance_mm", limits.Numbers)
	lengthM     = of("Amount", "length_m", limits.Numbers)
	areaM2      = of("Amount", "area_m2", limits.Numbers)
	pieces      = of("CutLength", "required", limits.Numbers)
	accepted    = of("Item", "accepts", limits.Entries)
	cuts        = of("Crosscut", "lengths", limits.Entries)
	cutLength   = of("CutLength", "length_mm", limits.Numbers)
	endTrim     = of("Crosscut", "end_trim_mm", limits.Numbers)
	panelWidth  = of("Panel", "width_mm", limits.Numbers)
	joint       = of("Panel", "joint_allowance_mm", limits.Numbers)

	runnersUp = of("SolveOptions", "runners_up", limits.Numbers)
	timeLimit = of("SolveOptions", "time_limit_ms", limits.Numbers)
	workLimit = of("SolveOptions", "work_limit", limits.Numbers)
	sawHour   = of("SolveOptions", "price_per_saw_hour", limits.Numbers)

	lineTime   = of("RunLineRequest", "at_s", limits.Numbers)
	stopReason = of("LineStop", "reason", limits.Characters)

	forcedItems    = of("Instructions", "forced", limits.Entries)
	forcedStrips   = of("ForcedItem", "strips", limits.Numbers)
	forbiddenItems = of("Instructions", "forbidden", limits.Entries)
	lockedBlades   = of("Instructions", "blades", limits.Entries)
	lockedBlade    = of("BladeLock", "blade", limits.Numbers)
	yieldRatio     = of("Instructions", "min_yield_ratio", limits.Numbers)

	ofBoard      = of("CutConfirmation", "board_sequence", limits.Numbers)
	inFlight     = of("LineSetUp", "boards_in_flight", limits.Numbers)
	driftShift   = of("DriftWatch", "shift_mm", limits.Numbers)
	scatter      = of("DriftWatch", "scatter_mm", limits.Numbers)
	threshold    = of("LineSetUp", "stack_threshold_mm", limits.Numbers)
	overlapFrom  = of("LineSetUp", "overlap_from_boards", limits.Numbers)
	releaseAfter = of("LineSetUp", "release_after_boards", limits.Numbers)

	bayCount   = of("OutfeedBays", "bays", limits.Numbers)
	bayChange  = of("OutfeedBays", "change_s", limits.Numbers)
	bayMeasure = of("OutfeedBays", "measure_every_boards", limits.Numbers)

	nextOrders     = of("LineSetUp", "next_orders", limits.Entries)
	everyBoards    = of("ValuePlanning", "replan_every_boards", limits.Numbers)
	expectedBoards = of("ValuePlanning", "expected", limits.Entries)

	// PageSize and PageToken are those of the list of saws.
	PageSize  = of("ListSawsRequest", "page_size", limits.Numbers)
	PageToken = of("ListSawsRequest", "page_token", limits.Characters)

	state      = of("LineResume", "state", limits.Characters)
	whichRunUp = of("CutConfirmation", "runner_up", limits.Numbers)
	ofPocket   = of("CutStrip", "pocket", limits.Numbers)
	strips     = of("CutConfirmation", "strips", limits.Entries)
	runs       = of("CutStrip", "stretches", limits.Entries)
	oneRun     = of("CutStretch", "length_mm", limits.Numbers)
	pieceCount = of("CutPieces", "count", limits.Numbers)
)
