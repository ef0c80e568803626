package wire

import (
	"github.com/ripwright/ripwright/proto/limits"
)

// ForPlans are the ranges of fields that only requests about whole orders have, which
// server/planning reads.
var ForPlans = struct {
	Lots, Kinds, SampleBoards, Seed, LotID, Price, Count limits.Range

	Thickness, TagWidth, BoardLength, Width, Deviation, Crook, Taper limits.Range

	Rates, RateKind, Rate, RateLength, RateWidth limits.Range

	Stock, MaxStock, MoreOrders, Currency limits.Range

	Gap, Part, TimeLimit, Rules, Times                                                   limits.Range
	Compare, Simulations, Level, MaxBoards, ReplanEveryBoards, ScrapFraction, ShiftHours limits.Range
	Feed, Positioning, Handling                                                          limits.Range
	Orders, Weight, Suggestions, Settings, Increment, Position, Blades                   limits.Range
	Jobs, OwnID, Arbors, Due, Start, JobWeight, Work, Run, Change                        limits.Range

	SharingLines, SharingFills, SharingLengths, Expected limits.Range
	BoardPace, FacePace, CutLength, Pieces               limits.Range
}{
	Lots:         of("Lumber", "lots", limits.Entries),
	Kinds:        of("ListedBoards", "boards", limits.Entries),
	SampleBoards: of("Lumber", "sample_boards", limits.Numbers),
	Seed:         of("Lumber", "seed", limits.Numbers),
	LotID:        of("Lot", "lot_id", limits.Characters),
	Price:        of("Lot", "price_per_mbf", limits.Numbers),
	Count:        of("CountedBoard", "count", limits.Numbers),

	Thickness:   of("PackTag", "thickness_mm", limits.Numbers),
	TagWidth:    of("TagRow", "width_mm", limits.Numbers),
	BoardLength: of("TagRow", "length_mm", limits.Numbers),
	Width:       of("BoardSpread", "mean_width_mm", limits.Numbers),
	Deviation:   of("BoardSpread", "width_sd_mm", limits.Numbers),
	Rates:       of("BoardSpread", "defects", limits.Entries),
	RateKind:    of("DefectRate", "kind", limits.Characters),
	Rate:        of("DefectRate", "per_m2", limits.Numbers),
	RateLength:  of("DefectRate", "min_length_mm", limits.Numbers),
	RateWidth:   of("DefectRate", "min_width_mm", limits.Numbers),
	Crook:       of("BoardSpread", "crook_mm", limits.Numbers),
	Taper:       of("BoardSpread", "taper_mm", limits.Numbers),

	Stock:      of("BuyList", "lots", limits.Entries),
	MaxStock:   of("LotStock", "max_boards", limits.Numbers),
	MoreOrders: of("QuoteOrderRequest", "more_orders", limits.Entries),
	Currency:   of("QuoteOrderRequest", "currency", limits.Characters),

	Gap:       of("PlanValuesRequest", "relative_gap", limits.Numbers),
	Part:      of("ValuePlanning", "set_aside_loss", limits.Numbers),
	TimeLimit: of("PlanValuesRequest", "time_limit_ms", limits.Numbers),
	Rules:     of("PlanValuesRequest", "rules", limits.Entries),
	Times:     of("ValueRule", "times", limits.Numbers),

	Compare:           of("QuoteOrderRequest", "compare", limits.Entries),
	Simulations:       of("QuoteOrderRequest", "simulations", limits.Numbers),
	Level:             of("QuoteOrderRequest", "level", limits.Numbers),
	MaxBoards:         of("QuoteOrderRequest", "max_boards", limits.Numbers),
	ReplanEveryBoards: of("QuoteOrderRequest", "replan_every_boards", limits.Numbers),
	ScrapFraction:     of("ScrapAllowance", "fraction", limits.Numbers),
	ShiftHours:        of("SawPace", "shift_hours", limits.Numbers),

	Feed:        of("SawPace", "feed_m_per_min", limits.Numbers),
	Positioning: of("SawPace", "positioning_mm_per_s", limits.Numbers),
	Handling:    of("SawPace", "handling_s", limits.Numbers),

	Orders:      of("PlanArborRequest", "orders", limits.Entries),
	Weight:      of("WeightedOrder", "weight", limits.Numbers),
	Suggestions: of("PlanArborRequest", "max_suggestions", limits.Numbers),
	Settings:    of("PlanArborRequest", "max_settings", limits.Numbers),
	Increment:   of("Spacers", "increment_mm", limits.Numbers),
	Position:    of("Spacers", "origin_mm", limits.Numbers),
	Blades:      of("ArborSetting", "fixed_mm", limits.Entries),

	Jobs:      of("SequenceOrdersRequest", "jobs", limits.Entries),
	OwnID:     of("SequenceJob", "order_id", limits.Characters),
	Arbors:    of("SequenceJob", "arbors", limits.Entries),
	Due:       of("SequenceJob", "due_minutes", limits.Numbers),
	Start:     of("SequenceJob", "earliest_start_minutes", limits.Numbers),
	JobWeight: of("SequenceJob", "weight", limits.Numbers),
	Work:      of("SequenceOrdersRequest", "work_limit", limits.Numbers),
	Run:       of("ArborSetting", "duration_minutes", limits.Numbers),
	Change:    of("ChangeTime", "setup_minutes", limits.Numbers),

	SharingLines:   of("ShareOrderRequest", "lines", limits.Entries),
	SharingFills:   of("SharingLine", "fills", limits.Entries),
	SharingLengths: of("SharingFill", "lengths", limits.Entries),
	Expected:       of("ShareOrderRequest", "expected", limits.Entries),
	BoardPace:      of("SharingLine", "boards_per_hour", limits.Numbers),
	FacePace:       of("SharingLine", "face_m2_per_hour", limits.Numbers),
	CutLength:      of("SharingLengthFill", "length_mm", limits.Numbers),
	Pieces:         of("SharingLengthFill", "made", limits.Numbers),
}
