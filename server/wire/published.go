package wire

import (
	"slices"

	"google.golang.org/protobuf/reflect/protoreflect"
)

// Counted is what a limit counts.
type Counted string

// What limits count.
const (
	Numbers    Counted = "number"
	Characters Counted = "characters"
	Entries    Counted = "entries"
)

// Limit is the published limit of one field of the requests.
type Limit struct {
	Message, Field string // as the schema calls them
	Counts         Counted
	Range          Range
}

// Limits are all of them, in the schema's order. A list of numbers has two: how
// many, and each one.
var Limits = slices.Concat(boardLimits, planLimits, tallyLimits, []Limit{
	{"ListSawsRequest", "page_size", Numbers, PageSize},
	{"ListSawsRequest", "page_token", Characters, PageToken},
})

var boardLimits = []Limit{
	{"Board", "board_id", Characters, ids},
	{"Board", "pack_id", Characters, ids},
	{"Board", "length_mm", Numbers, boardLength},
	{"Board", "thickness_mm", Numbers, thickness},
	{"Board", "stations", Entries, stations},
	{"Station", "x_mm", Numbers, alongBoard},
	{"Station", "near_mm", Numbers, across},
	{"Station", "far_mm", Numbers, across},
	{"Board", "defects", Entries, defects},
	{"Defect", "from_x_mm", Numbers, alongBoard},
	{"Defect", "to_x_mm", Numbers, alongBoard},
	{"Defect", "from_y_mm", Numbers, across},
	{"Defect", "to_y_mm", Numbers, across},
	{"Defect", "kind", Characters, defectKind},

	{"Saw", "name", Characters, ids},
	{"Saw", "kerf_mm", Numbers, kerf},
	{"Saw", "step_mm", Numbers, step},
	{"Saw", "blades", Entries, blades},
	{"Saw", "min_gap_mm", Numbers, gap},
	{"Saw", "edge_trim_mm", Numbers, kerf},
	{"Saw", "min_strip_width_mm", Numbers, gap},
	{"Travel", "min_mm", Numbers, position},
	{"Travel", "max_mm", Numbers, position},
	{"Blade", "fixed_mm", Numbers, position},
	{"SawLimits", "min_length_mm", Numbers, leastLimit},
	{"SawLimits", "max_length_mm", Numbers, mostLimit},
	{"SawLimits", "min_width_mm", Numbers, leastLimit},
	{"SawLimits", "max_width_mm", Numbers, mostLimit},
	{"SawLimits", "min_thickness_mm", Numbers, leastLimit},
	{"SawLimits", "max_thickness_mm", Numbers, mostLimit},
	{"Rerip", "min_width_mm", Numbers, reripWidth},
	{"Rerip", "value_per_m2", Numbers, value},
	{"Saw", "max_skew_mm_per_m", Numbers, skewLimit},
	{"Saw", "feed_m_per_min", Numbers, feed},
	{"Saw", "positioning_mm_per_s", Numbers, positioning},
	{"Saw", "handling_s", Numbers, handling},

	{"CutOrder", "order_id", Characters, ids},
	{"CutOrder", "items", Entries, items},
	{"Item", "item_id", Characters, ownIDs},
	{"Item", "width_mm", Numbers, stripWidth},
	{"Item", "value", Numbers, value},
	{"Item", "piece_length_mm", Numbers, pieceLength},
	{"Item", "min_length_mm", Numbers, runLength},
	{"Item", "max_length_mm", Numbers, pieceLength},
	{"Item", "tolerance_mm", Numbers, tolerance},
	{"Item", "stack", Characters, ids},
	{"Item", "accepts", Entries, accepted},
	{"Item", "accepts", Characters, defectKind},
	{"Item", "due_boards", Numbers, dueBoards},
	{"Crosscut", "lengths", Entries, cuts},
	{"Crosscut", "kerf_mm", Numbers, kerf},
	{"Crosscut", "end_trim_mm", Numbers, endTrim},
	{"CutLength", "length_mm", Numbers, cutLength},
	{"CutLength", "value", Numbers, value},
	{"CutLength", "required", Numbers, pieces},
	{"CutLength", "made", Numbers, pieces},
	{"Panel", "width_mm", Numbers, panelWidth},
	{"Panel", "joint_allowance_mm", Numbers, joint},
	{"WidthRange", "min_mm", Numbers, stripWidth},
	{"WidthRange", "max_mm", Numbers, stripWidth},
	{"Amount", "length_m", Numbers, lengthM},
	{"Amount", "area_m2", Numbers, areaM2},
	{"Amount", "pieces", Numbers, pieces},

	{"SolveBoardRequest", "saw_name", Characters, ownIDs},
	{"SolveOptions", "runners_up", Numbers, runnersUp},
	{"SolveOptions", "time_limit_ms", Numbers, timeLimit},
	{"SolveOptions", "work_limit", Numbers, workLimit},
	{"SolveOptions", "price_per_saw_hour", Numbers, sawHour},
	{"CheckPlanRequest", "saw_name", Characters, ownIDs},

	{"RunLineRequest", "sequence", Numbers, sequence},
	{"LineSetUp", "run_id", Characters, ownIDs},
	{"LineSetUp", "saw_name", Characters, ownIDs},
	{"LineSetUp", "boards_in_flight", Numbers, inFlight},
	{"LineSetUp", "stack_threshold_mm", Numbers, threshold},
	{"ValuePlanning", "replan_every_boards", Numbers, everyBoards},
	{"ValuePlanning", "expected", Entries, expectedBoards},
	{"ValuePlanning", "rules", Entries, items},
	{"ValuePlanning", "set_aside_loss", Numbers, ForPlans.Part},
	{"LineResume", "state", Characters, state},
	{"LineBoard", "answer_within_ms", Numbers, timeLimit},
	{"SawChange", "saw_name", Characters, ownIDs},
	{"CutConfirmation", "board_sequence", Numbers, ofBoard},
	{"CutConfirmation", "runner_up", Numbers, whichRunUp},
	{"CutConfirmation", "strips", Entries, strips},
	{"CutStrip", "item_id", Characters, ids},
	{"CutStrip", "width_mm", Numbers, stripWidth},
	{"CutStrip", "stretches", Entries, runs},
	{"CutStretch", "length_mm", Numbers, oneRun},
	{"CutStrip", "pieces", Entries, cuts},
	{"CutStrip", "stack", Characters, ids},
	{"CutPieces", "length_mm", Numbers, cutLength},
	{"CutPieces", "count", Numbers, pieceCount},
	{"ConfirmCutRequest", "confirmation_id", Characters, ownIDs},
	{"ConfirmCutRequest", "saw_name", Characters, ownIDs},
	{"ConfirmCutRequest", "strips", Entries, strips},
	{"DrawPlanRequest", "saw_name", Characters, ownIDs},
	{"Setting", "fence_mm", Numbers, position},
	{"Setting", "skew_mm_per_m", Numbers, skew},
	{"Setting", "blades_mm", Entries, settingBlades},
	{"Setting", "blades_mm", Numbers, position},
}

// LimitOf finds what a field's limit of one kind is.
func LimitOf(f protoreflect.FieldDescriptor, c Counted) (Range, bool) {
	for _, l := range Limits {
		if l.Counts == c && l.Field == string(f.Name()) && l.Message == string(f.ContainingMessage().Name()) {
			return l.Range, true
		}
	}
	return Range{}, false
}
