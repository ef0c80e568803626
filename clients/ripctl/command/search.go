package command

import (
	"strings"

	"github.com/spf13/pflag"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// search is how boards are searched.
type search struct {
	limit, work, price float64
	runnersUp          int32
	turns              bool
}

// flags adds the flags of commands that search; runnersUp: for further plans too.
func (s *search) flags(f *pflag.FlagSet, runnersUp bool) {
	if runnersUp {
		f.Int32Var(&s.runnersUp, "runners-up", 0, "give this many further plans for each board")
	}
	f.Float64Var(&s.limit, "time-limit-ms", 0, "stop a search after this many `ms` with the best plan so far; 0: only the service's own limit")
	f.Float64Var(&s.work, "work-limit", 0, "stop a search after this many `steps`, the same on every machine; 0: never")
	f.BoolVar(&s.turns, "turn-boards", false, "let plans turn boards as the saw allows, where that is worth more than it costs; whoever feeds the saw must turn them")
	f.Float64Var(&s.price, "saw-hour", 0, "what an hour of the saw's time costs, in `money`; plans are then chosen by what is left. 0: nothing")
}

// unlessZero omits a field if its flag is 0, which means the service's default.
func unlessZero[T int32 | float64](v T) *T {
	if v == 0 {
		return nil
	}
	return &v
}

func (s *search) options() *ripwrightv1.SolveOptions {
	return &ripwrightv1.SolveOptions{RunnersUp: s.runnersUp, TimeLimitMs: unlessZero(s.limit), WorkLimit: unlessZero(s.work), PricePerSawHour: s.price, TurnBoards: s.turns,
		Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL, Values: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}}
}

// optionAt tells which flag a field of the options came from.
func optionAt(path string) (string, bool) {
	name, ok := strings.CutPrefix(path, "options.")
	if name == "price_per_saw_hour" {
		return "--saw-hour", ok
	}
	return "--" + strings.ReplaceAll(name, "_", "-"), ok
}
