package trial

import (
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// plansNeed is mustBeThere for the requests about whole orders, as far as they need more
// than those about boards. The paths of a watched quote are below quote, those of an
// arbor's orders below orders[0].
var plansNeed = map[string]needed{
	"lumber":                                     {"lumber", "give the lumber"},
	"lumber.lots":                                {"lumber.lots", "1 to 32"},
	"lumber.lots[0].listed":                      {"lumber.lots[0]", "set listed, tagged or spread"},
	"lumber.lots[1].tagged":                      {"lumber.lots[1]", "set listed, tagged or spread"},
	"lumber.lots[2].spread":                      {"lumber.lots[2]", "set listed, tagged or spread"},
	"lumber.lots[0].listed.boards":               {"lumber.lots[0].listed.boards", "1 to 2000"},
	"lumber.lots[0].listed.boards[0].board":      {"lumber.lots[0].listed.boards[0].board", "is missing"},
	"lumber.lots[1].tagged.rows":                 {"lumber.lots[1].tagged.rows", "1 to 2000"},
	"lumber.lots[1].tagged.rows[0].width_mm":     {"lumber.lots[1].tagged.rows[0].width_mm", "above 0"},
	"lumber.lots[1].tagged.rows[0].length_mm":    {"lumber.lots[1].tagged.rows[0].length_mm", "above 0"},
	"lumber.lots[2].spread.mean_width_mm":        {"lumber.lots[2].spread.mean_width_mm", "1 to 1000"},
	"lumber.lots[2].spread.min_width_mm":         {"lumber.lots[2].spread.min_width_mm", "1 to 1000"},
	"lumber.lots[2].spread.max_width_mm":         {"lumber.lots[2].spread.max_width_mm", "1 to 1000"},
	"lumber.lots[2].spread.lengths":              {"lumber.lots[2].spread.lengths", "1 to 2000"},
	"lumber.lots[2].spread.lengths[0].length_mm": {"lumber.lots[2].spread.lengths[0].length_mm", "above 0"},
	"lumber.lots[0].price_per_mbf":               {"lumber.lots[0].price_per_mbf", "the least cost needs a price"},
	"lumber.lots[1].price_per_mbf":               {"lumber.lots[1].price_per_mbf", "the least cost needs a price"},
	"lumber.lots[2].price_per_mbf":               {"lumber.lots[2].price_per_mbf", "the least cost needs a price"},
	"lumber.lots[1].tagged.thickness_mm":         {"lumber.lots[1].tagged.thickness_mm", "needs a thickness"},
	"lumber.lots[2].spread.thickness_mm":         {"lumber.lots[2].spread.thickness_mm", "needs a thickness"},

	"lumber.lots[0].listed.boards[0].board.thickness_mm": {"lumber.lots[0].listed.boards[0].board.thickness_mm", "needs a thickness"},

	"lumber.lots[2].spread.defects[0].kind":          {"lumber.lots[2].spread.defects[0].kind", "1 to 64"},
	"lumber.lots[2].spread.defects[0].min_length_mm": {"lumber.lots[2].spread.defects[0].min_length_mm", "above 0"},
	"lumber.lots[2].spread.defects[0].max_length_mm": {"lumber.lots[2].spread.defects[0].max_length_mm", "above 0"},
	"lumber.lots[2].spread.defects[0].min_width_mm":  {"lumber.lots[2].spread.defects[0].min_width_mm", "above 0"},
	"lumber.lots[2].spread.defects[0].max_width_mm":  {"lumber.lots[2].spread.defects[0].max_width_mm", "above 0"},

	"buy_list.lots[0].lot_id":                   {"buy_list.lots[0].lot_id", "no such lot"},
	"more_orders[0].order_id":                   {"more_orders[0].order_id", "is missing"},
	"more_orders[0].items[0].width_mm":          {"more_orders[0].items[0].width_mm", "set width_mm or range"},
	"more_orders[0].items[0].required.length_m": {"more_orders[0].items[0].required", "set length_m, area_m2 or pieces"},
	"more_orders[0].items[0].value":             {"more_orders[0].items[0].value", "is 0"},

	"order.items":           {"order.items", "want nothing"},
	"rules[0].times":        {"rules[0]", "set times or keep"},
	"rules[1].keep":         {"rules[1]", "set times or keep"},
	"quote":                 {"quote", "give the quote's request"},
	"orders":                {"orders", "1 to 50"},
	"orders[0].order.items": {"orders[0].order.items", "have no value"},
	"spacers":               {"spacers", "the positions that spacers allow"},
	"spacers.increment_mm":  {"spacers.increment_mm", "0.01 to 5000"},
	"spacers.max_mm":        {"spacers.max_mm", "below min_mm"},
	"jobs":                  {"jobs", "1 to 200"},
	"jobs[0].order_id":      {"jobs[0].order_id", "1 to 128"},
	"jobs[1].order_id":      {"jobs[1].order_id", "1 to 128"},
	"jobs[0].arbors":        {"jobs[0].arbors", "1 to 8"},
	"jobs[1].arbors":        {"jobs[1].arbors", "1 to 8"},
	"change":                {"change", "the time that a change takes"},

	"lines":                               {"lines", "1 to 16"},
	"lines[0].line_id":                    {"lines[0].line_id", "1 to 128"},
	"lines[1].line_id":                    {"lines[1].line_id", "1 to 128"},
	"lines[0].boards_per_hour":            {"lines[0]", "set boards_per_hour or face_m2_per_hour"},
	"lines[1].boards_per_hour":            {"lines[1]", "set boards_per_hour or face_m2_per_hour"},
	"lines[0].face_m2_per_hour":           {"lines[0]", "set boards_per_hour or face_m2_per_hour"},
	"lines[0].fills[0].made.length_m":     {"lines[0].fills[0].made", "set length_m, area_m2 or pieces"},
	"lines[0].fills[0].reserved.length_m": {"lines[0].fills[0].reserved", "set length_m, area_m2 or pieces"},
}

func init() {
	for part, holds := range map[string]string{
		"sample_boards":                  "100",
		"seed":                           "0",
		"lot_id":                         "no name",
		"count":                          "1",
		"currency":                       "the server's",
		"buy_list":                       "nothing is asked about buying",
		"buy_list.lots":                  "there are as many boards as are needed of each",
		"buy_list.lots[0].max_boards":    "there are as many boards as are needed",
		"pack_boards":                    "it is not asked what a pack saves",
		"more_orders":                    "the order alone",
		"quote.order.items":              "the further orders alone",
		"more_orders[0].items":           "the order alone",
		"defects":                        "boards are clear",
		"per_m2":                         "none comes",
		"share":                          "1",
		"price_per_mbf":                  "no money",
		"width_sd_mm":                    "all of the mean width",
		"crook_mm":                       "straight",
		"taper_mm":                       "as wide at both ends",
		"objective":                      "the least face",
		"set_aside_loss":                 "no board is set aside",
		"relative_gap":                   "0.001",
		"rules":                          "as planned",
		"values":                         "planned ones",
		"compare":                        "those alone",
		"pace":                           "as the saw has it",
		"positioning_mm_per_s":           "as the saw has it",
		"handling_s":                     "as the saw has it",
		"shift_hours":                    "shifts are not counted",
		"scrap":                          "no more than required",
		"fraction":                       "no more than required",
		"simulations":                    "39",
		"level":                          "0.9",
		"max_boards":                     "20000",
		"replan_every_boards":            "25",
		"weight":                         "1",
		"max_suggestions":                "5",
		"max_settings":                   "500",
		"spacers.origin_mm":              "0, the arbor's datum",
		"spacers.min_mm":                 "0, the arbor's datum",
		"current_fixed_mm":               "none is on the arbor",
		"setup_minutes":                  "a change takes what its blades take",
		"per_blade_minutes":              "a blade takes no time",
		"due_minutes":                    "whenever",
		"earliest_start_minutes":         "at once",
		"fixed_mm":                       "no blade",
		"duration_minutes":               "it takes no time",
		"expected":                       "shares go by pace, at the order's values",
		"expected[0].stations[0].x_mm":   "0, the leading end",
		"expected[0].stations[0].far_mm": "0: with near_mm 0 the board comes to a point there",
		"reserved":                       "no board waits for its confirmation",
		"fills[0].lengths":               "nothing of its lengths",
		"fills[1].lengths":               "nothing of its lengths",
	} {
		mayBeMissing[part] = holds
	}
}

// need looks up what a request needs.
func need(req proto.Message, path string) (found, bool) {
	before := ""
	short := path
	switch req.(type) {
	case *ripwrightv1.WatchQuoteRequest:
		if path == "quote.order.items" {
			return found{}, false // the further orders have some
		}
		if path != "quote" {
			before = "quote."
		}
	case *ripwrightv1.ShareOrderRequest:
		if rest, in := strings.CutPrefix(path, "expected[0]."); in {
			n, must := mustBeThere["board."+rest]
			n.field = "expected[0]" + strings.TrimPrefix(n.field, "board")
			return found{n, "board." + rest}, must
		}
		if line, rest, in := strings.Cut(path, "].saw"); in && !strings.HasPrefix(rest, "_") {
			before = line + "]."
		}
	case *ripwrightv1.PlanArborRequest:
		if strings.HasPrefix(path, "orders[0].order.items[") || path == "orders[0].order" {
			before = "orders[0]."
		}
		if strings.HasSuffix(path, "price_per_mbf") || strings.HasSuffix(path, "thickness_mm") {
			return found{}, false // its orders have money, the lumber need not
		}
	}
	short = strings.TrimPrefix(short, before)
	n, must := plansNeed[short]
	if _, planned := planPath(req); planned == nil || !must {
		// Boards are listed in lots in the same form as in other requests.
		if at, rest, in := strings.Cut(short, ".boards[0].board"); in && rest != "" {
			before, short = before+at+".boards[0].", "board"+rest
		}
		n, must = mustBeThere[short]
	}
	if _, draw := req.(*ripwrightv1.DrawPlanRequest); draw && path == "setting" {
		return found{}, false // that of the best plan
	}
	n.field = before + n.field
	return found{n, short}, must
}
