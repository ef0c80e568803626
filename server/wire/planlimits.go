package wire

import (
	"math"

	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	quoting "github.com/ripwright/ripwright/solver/planning/quote"
	sequencing "github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// ForPlans are the ranges that only requests about whole orders have, which
// server/planning reads.
var ForPlans = struct {
	Lots, Kinds, SampleBoards, Seed, LotID, Price, Count Range

	Thickness, TagWidth, BoardLength, Width, Deviation, Crook, Taper Range

	Gap, Part, TimeLimit, Rules, Times                                                   Range
	Compare, Simulations, Level, MaxBoards, ReplanEveryBoards, ScrapFraction, ShiftHours Range
	Feed, Positioning, Handling                                                          Range
	Orders, Weight, Suggestions, Settings, Increment, Position, Blades                   Range
	Jobs, OwnID, Arbors, Due, Start, JobWeight, Work, Run, Change                        Range
}{
	Lots:         Range{Least: 1, Most: lumber.MaxLots},
	Kinds:        Range{Least: 1, Most: lumber.MaxKinds},
	SampleBoards: Range{Least: 1, Most: lumber.MaxSample, Whole: true},
	Seed:         Range{Most: math.MaxInt32, Whole: true},
	LotID:        ids,
	Price:        value,
	Count:        Range{Least: 1, Most: float64(lumber.MaxCount), Whole: true},

	Thickness:   thickness,
	TagWidth:    Range{Most: wood.MaxAcross.MM(), Above: true},
	BoardLength: boardLength,
	Width:       Range{Least: 1, Most: lumber.MaxWidth.MM()},
	Deviation:   Range{Most: lumber.MaxWidth.MM()},
	Crook:       Range{Most: lumber.MaxCrook.MM()},
	Taper:       Range{Most: lumber.MaxWidth.MM()},

	Gap:       Range{Least: 1e-9, Most: 0.5},
	Part:      Range{Most: 1},
	TimeLimit: timeLimit,
	Rules:     items,
	Times:     Range{Least: 0.01, Most: values.MostTimes},

	Compare:           Range{Most: 3},
	Simulations:       Range{Least: 1, Most: quoting.MostRuns, Whole: true},
	Level:             Range{Least: 0.5, Most: 0.99},
	MaxBoards:         Range{Least: 1, Most: quoting.MostBoards, Whole: true},
	ReplanEveryBoards: Range{Most: quoting.MostBoards, Whole: true},
	ScrapFraction:     Range{Most: 10},
	ShiftHours:        Range{Most: 24, Above: true},

	Feed:        feed,
	Positioning: positioning,
	Handling:    handling,

	Orders:      Range{Least: 1, Most: arbor.MaxOrders},
	Weight:      Range{Least: 1, Most: 1_000_000, Whole: true},
	Suggestions: Range{Least: 1, Most: arbor.MaxSuggestions, Whole: true},
	Settings:    Range{Least: 1, Most: arbor.MaxSettings, Whole: true},
	Increment:   Range{Least: saw.MinStep.MM(), Most: saw.MaxPosition.MM()},
	Position:    position,
	Blades:      Range{Most: saw.MaxBlades},

	Jobs:   Range{Least: 1, Most: sequencing.MaxOrders},
	OwnID:  ownIDs,
	Arbors: Range{Least: 1, Most: sequencing.MaxSettings},
	Due:    Range{Most: 1_000_000, Above: true},
	Start:  Range{Most: 1_000_000},

	JobWeight: Range{Least: 1, Most: sequencing.MaxWeight, Whole: true},
	Work:      workLimit,

	Run:    Range{Most: 1_000_000},
	Change: Range{Most: 10_000},
}

// planLimits are the limits of those fields, in the schema's order.
var planLimits = []Limit{
	{"Lumber", "lots", Entries, ForPlans.Lots},
	{"Lumber", "sample_boards", Numbers, ForPlans.SampleBoards},
	{"Lumber", "seed", Numbers, ForPlans.Seed},
	{"Lot", "lot_id", Characters, ForPlans.LotID},
	{"Lot", "price_per_mbf", Numbers, ForPlans.Price},
	{"ListedBoards", "boards", Entries, ForPlans.Kinds},
	{"CountedBoard", "count", Numbers, ForPlans.Count},
	{"PackTag", "thickness_mm", Numbers, ForPlans.Thickness},
	{"PackTag", "rows", Entries, ForPlans.Kinds},
	{"TagRow", "width_mm", Numbers, ForPlans.TagWidth},
	{"TagRow", "length_mm", Numbers, ForPlans.BoardLength},
	{"TagRow", "count", Numbers, ForPlans.Count},
	{"BoardSpread", "mean_width_mm", Numbers, ForPlans.Width},
	{"BoardSpread", "width_sd_mm", Numbers, ForPlans.Deviation},
	{"BoardSpread", "min_width_mm", Numbers, ForPlans.Width},
	{"BoardSpread", "max_width_mm", Numbers, ForPlans.Width},
	{"BoardSpread", "lengths", Entries, ForPlans.Kinds},
	{"BoardSpread", "crook_mm", Numbers, ForPlans.Crook},
	{"BoardSpread", "taper_mm", Numbers, ForPlans.Taper},
	{"BoardSpread", "thickness_mm", Numbers, ForPlans.Thickness},
	{"LengthShare", "length_mm", Numbers, ForPlans.BoardLength},
	{"LengthShare", "share", Numbers, ForPlans.Count},

	{"PlanValuesRequest", "saw_name", Characters, ownIDs},
	{"PlanValuesRequest", "set_aside_loss", Numbers, ForPlans.Part},
	{"PlanValuesRequest", "relative_gap", Numbers, ForPlans.Gap},
	{"PlanValuesRequest", "time_limit_ms", Numbers, ForPlans.TimeLimit},
	{"PlanValuesRequest", "rules", Entries, ForPlans.Rules},
	{"ValueRule", "item_id", Characters, ownIDs},
	{"ValueRule", "times", Numbers, ForPlans.Times},

	{"QuoteOrderRequest", "saw_name", Characters, ownIDs},
	{"QuoteOrderRequest", "set_aside_loss", Numbers, ForPlans.Part},
	{"SawPace", "feed_m_per_min", Numbers, ForPlans.Feed},
	{"SawPace", "positioning_mm_per_s", Numbers, ForPlans.Positioning},
	{"SawPace", "handling_s", Numbers, ForPlans.Handling},
	{"SawPace", "shift_hours", Numbers, ForPlans.ShiftHours},
	{"QuoteOrderRequest", "scrap", Entries, ForPlans.Rules},
	{"ScrapAllowance", "item_id", Characters, ownIDs},
	{"ScrapAllowance", "fraction", Numbers, ForPlans.ScrapFraction},
	{"QuoteOrderRequest", "compare", Entries, ForPlans.Compare},
	{"QuoteOrderRequest", "simulations", Numbers, ForPlans.Simulations},
	{"QuoteOrderRequest", "level", Numbers, ForPlans.Level},
	{"QuoteOrderRequest", "max_boards", Numbers, ForPlans.MaxBoards},
	{"QuoteOrderRequest", "replan_every_boards", Numbers, ForPlans.ReplanEveryBoards},
	{"QuoteOrderRequest", "time_limit_ms", Numbers, ForPlans.TimeLimit},

	{"PlanArborRequest", "saw_name", Characters, ownIDs},
	{"PlanArborRequest", "orders", Entries, ForPlans.Orders},
	{"WeightedOrder", "weight", Numbers, ForPlans.Weight},
	{"Spacers", "increment_mm", Numbers, ForPlans.Increment},
	{"Spacers", "origin_mm", Numbers, ForPlans.Position},
	{"Spacers", "min_mm", Numbers, ForPlans.Position},
	{"Spacers", "max_mm", Numbers, ForPlans.Position},
	{"PlanArborRequest", "max_suggestions", Numbers, ForPlans.Suggestions},
	{"PlanArborRequest", "max_settings", Numbers, ForPlans.Settings},
	{"PlanArborRequest", "level", Numbers, ForPlans.Level},
	{"PlanArborRequest", "time_limit_ms", Numbers, ForPlans.TimeLimit},

	{"SequenceOrdersRequest", "jobs", Entries, ForPlans.Jobs},
	{"SequenceJob", "order_id", Characters, ForPlans.OwnID},
	{"SequenceJob", "arbors", Entries, ForPlans.Arbors},
	{"ArborSetting", "fixed_mm", Entries, ForPlans.Blades},
	{"ArborSetting", "fixed_mm", Numbers, ForPlans.Position},
	{"ArborSetting", "duration_minutes", Numbers, ForPlans.Run},
	{"SequenceJob", "due_minutes", Numbers, ForPlans.Due},
	{"SequenceJob", "earliest_start_minutes", Numbers, ForPlans.Start},
	{"SequenceJob", "weight", Numbers, ForPlans.JobWeight},
	{"SequenceOrdersRequest", "current_fixed_mm", Entries, ForPlans.Blades},
	{"SequenceOrdersRequest", "current_fixed_mm", Numbers, ForPlans.Position},
	{"SequenceOrdersRequest", "time_limit_ms", Numbers, ForPlans.TimeLimit},
	{"SequenceOrdersRequest", "work_limit", Numbers, ForPlans.Work},
	{"ChangeTime", "setup_minutes", Numbers, ForPlans.Change},
	{"ChangeTime", "per_blade_minutes", Numbers, ForPlans.Change},
}
