package trial

import (
	"strings"
	"testing"

	"google.golang.org/grpc/codes"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// needed is the refusal of a request without a needed field: the field that it names and
// a part of its words.
type needed struct{ field, says string }

// found is a needed with the path under which it is listed.
type found struct {
	needed
	key string
}

var mustBeThere = map[string]needed{
	"board":                    {"board", "is missing"},
	"board.length_mm":          {"board.length_mm", "above 0"},
	"board.stations":           {"board.stations", "at least one"},
	"board.stations[1].x_mm":   {"board.stations[1].x_mm", "not beyond the station before"},
	"board.stations[1].far_mm": {"board.stations[1].far_mm", "the edges cross"},

	"board.defects[0].to_x_mm": {"board.defects[0].to_x_mm", "not beyond from_x_mm"},
	"board.defects[1].to_x_mm": {"board.defects[1].to_x_mm", "not beyond from_x_mm"},
	"board.defects[0].to_y_mm": {"board.defects[0].to_y_mm", "not beyond from_y_mm"},
	"board.defects[1].to_y_mm": {"board.defects[1].to_y_mm", "not beyond from_y_mm"},
	"board.defects[0].kind":    {"board.defects[0].kind", "1 to 64"},
	"board.defects[1].kind":    {"board.defects[1].kind", "1 to 64"},

	"saw":                         {"saw", "set saw or saw_name"},
	"saw.kerf_mm":                 {"saw.kerf_mm", "the width of a blade's cut"},
	"saw.step_mm":                 {"saw.step_mm", "0.01 to 100"},
	"saw.fence":                   {"saw.fence", "the travel of the fence"},
	"saw.fence.max_mm":            {"saw.fence.max_mm", "below min_mm"},
	"saw.blades":                  {"saw.blades", "1 to 32"},
	"saw.blades[0].fixed_mm":      {"saw.blades[0]", "set fixed_mm or moving"},
	"saw.blades[1].fixed_mm":      {"saw.blades[1]", "set fixed_mm or moving"},
	"saw.blades[2].moving":        {"saw.blades[2]", "set fixed_mm or moving"},
	"saw.blades[3].moving":        {"saw.blades[3]", "set fixed_mm or moving"},
	"saw.blades[2].moving.max_mm": {"saw.blades[2].moving.max_mm", "below min_mm"},
	"saw.blades[3].moving.max_mm": {"saw.blades[3].moving.max_mm", "below min_mm"},
	"saw.min_gap_mm":              {"saw.min_gap_mm", "above 0"},
	"saw.min_strip_width_mm":      {"saw.min_strip_width_mm", "above 0"},

	"order":                            {"order", "is missing"},
	"order.items[0].item_id":           {"order.items[0].item_id", "is empty"},
	"order.items[1].item_id":           {"order.items[1].item_id", "is empty"},
	"order.items[2].item_id":           {"order.items[2].item_id", "is empty"},
	"order.items[0].width_mm":          {"order.items[0].width_mm", "set width_mm or range"},
	"order.items[1].range":             {"order.items[1].width_mm", "set width_mm or range"},
	"order.items[2].width_mm":          {"order.items[2].width_mm", "set width_mm or range"},
	"order.items[1].range.min_mm":      {"order.items[1].range.min_mm", "above 0"},
	"order.items[1].range.max_mm":      {"order.items[1].range.max_mm", "above 0"},
	"order.items[0].required.length_m": {"order.items[0].required", "set length_m, area_m2 or pieces"},
	"order.items[0].made.length_m":     {"order.items[0].made", "set length_m, area_m2 or pieces"},
	"order.items[1].required.area_m2":  {"order.items[1].required", "set length_m, area_m2 or pieces"},
	"order.items[1].made.area_m2":      {"order.items[1].made", "set length_m, area_m2 or pieces"},
	"order.items[2].required.pieces":   {"order.items[2].required", "set length_m, area_m2 or pieces"},
	"order.items[2].made.pieces":       {"order.items[2].made", "set length_m, area_m2 or pieces"},

	"order.items[3].item_id":                       {"order.items[3].item_id", "is empty"},
	"order.items[3].width_mm":                      {"order.items[3].width_mm", "set width_mm or range"},
	"order.items[3].crosscut.lengths":              {"order.items[3].crosscut.lengths", "at least one length"},
	"order.items[3].crosscut.lengths[0].length_mm": {"order.items[3].crosscut.lengths[0].length_mm", "20 to 20000"},
	"order.items[3].crosscut.lengths[1].length_mm": {"order.items[3].crosscut.lengths[1].length_mm", "20 to 20000"},
	"order.items[1].panel.width_mm":                {"order.items[1].panel.width_mm", "above 0"},

	"instructions.blades[1].blade": {"instructions.blades[1].blade", "already names"},

	"confirmation_id":               {"confirmation_id", "1 to 128"},
	"outcome":                       {"outcome", "CUT_OUTCOME_AS_PLANNED"},
	"strips[0].item_id":             {"strips[0].item_id", "does not have"},
	"strips[1].item_id":             {"strips[1].item_id", "does not have"},
	"strips[0].width_mm":            {"strips[0].width_mm", "above 0"},
	"strips[1].width_mm":            {"strips[1].width_mm", "above 0"},
	"strips[1].pieces[0].length_mm": {"strips[1].pieces[0].length_mm", "20 to 20000"},

	"strips[0].stretches[0].length_mm": {"strips[0].stretches[0].length_mm", "above 0"},
	"strips[0].stretches[1].length_mm": {"strips[0].stretches[1].length_mm", "above 0"},
	"strips[1].stretches[0].length_mm": {"strips[1].stretches[0].length_mm", "above 0"},

	"saw.turns[0].turn": {"saw.turns[0].turn", "BOARD_TURN_END_FOR_END"},
	"saw.turns[1].turn": {"saw.turns[1].turn", "BOARD_TURN_END_FOR_END"},

	"saw.rerip.min_width_mm": {"saw.rerip.min_width_mm", "above 0"},

	"setting":           {"setting", "give the positions of fence and blades"},
	"setting.fence_mm":  {"setting.fence_mm", "give the position of the fence"},
	"setting.blades_mm": {"setting.blades_mm", "the saw has 4 blades"},
}

// mayBeMissing lists the fields that a request may leave out, and their defaults. The
// last part of a path is enough if the default holds everywhere.
var mayBeMissing = map[string]string{
	"board_id":                 "no name is echoed",
	"pack_id":                  "no pack",
	"thickness_mm":             "not measured, no board feet",
	"board.stations[0].x_mm":   "0, the leading end",
	"near_mm":                  "0, against the fence",
	"board.stations[0].far_mm": "0: with near_mm 0 the board comes to a point there",
	"near_edge_straight":       "the near edge is trimmed",

	"defects":   "the whole face is clear",
	"from_x_mm": "0, the leading end",
	"from_y_mm": "0, the fence",

	"turns":         "boards are fed as scanned",
	"turns[0].cost": "turning costs nothing",
	"turns[1].cost": "turning costs nothing",
	"turn":          "as scanned",
	"turn_boards":   "boards are fed as scanned",

	"max_skew_mm_per_m": "boards lie along the fence",
	"skew_mm_per_m":     "the board lies along the fence",

	"saw.name":                  "no name",
	"crosscut.kerf_mm":          "0, a cut that takes no wood",
	"fence.min_mm":              "0, the arbor's datum",
	"moving.min_mm":             "0, the arbor's datum",
	"current_setting":           "the lower ends of the travels",
	"current_setting.fence_mm":  "the lower end of its travel",
	"current_setting.blades_mm": "the lower ends of their travels",
	"edge_trim_mm":              "one kerf",
	"limits":                    "any board",
	"min_length_mm":             "no limit",
	"max_length_mm":             "no limit",
	"min_width_mm":              "no limit",
	"max_width_mm":              "no limit",
	"min_thickness_mm":          "no limit",
	"max_thickness_mm":          "no limit",
	"rerip":                     "nothing is fed again",
	"value_per_m2":              "what is fed again is worth nothing",

	"order_id":           "no name",
	"items":              "nothing is wanted",
	"value":              "0: the strip is worth nothing",
	"value_per":          "per area",
	"required":           "no limit",
	"made":               "nothing yet",
	"piece_length_mm":    "every strip is one piece",
	"tolerance_mm":       "half a step",
	"due_boards":         "no due",
	"explain":            "no explanation",
	"stack":              "no stack",
	"pocket":             "not said, and no width is watched",
	"accepts":            "no defect is accepted",
	"crosscut":           "strips are not crosscut",
	"end_trim_mm":        "nothing is taken off",
	"panel":              "strips are not glued up",
	"joint_allowance_mm": "the joints take nothing",

	"feed_m_per_min":                "no cycle times",
	"positioning_mm_per_s":          "positioning takes no time",
	"handling_s":                    "handling takes no time",
	"positioning_overlaps_handling": "one after the other",
	"blades_changed":                "not said; counts for metrics alone",

	"strips":    "nothing came out",
	"stretches": "nothing of it is good",
	"pieces":    "not crosscut",
	"count":     "none of the length",

	"setting": "the best plan is drawn",
	"units":   "metric",

	"instructions":                 "the best plan of all",
	"instructions.forced":          "nothing has to be cut",
	"instructions.forbidden":       "everything may be cut",
	"instructions.fence":           "the fence moves",
	"instructions.blades":          "blades move",
	"instructions.blades[0].blade": "0, the first",
	"at_mm":                        "where it stands now",
	"forced[0].strips":             "one strip",
	"min_yield_ratio":              "any yield will do",

	"options":       "no runners-up, no limits",
	"runners_up":    "none",
	"time_limit_ms": "no limit",
	"work_limit":    "no limit",
	"detail":        "everything is told",
	"fills":         "of all items",
	"detail.values": "of all items",
	"plans":         "everything is told of them",

	"price_per_saw_hour": "the saw's time costs nothing",
}

// defaultOf looks up what holds if a field is missing.
func defaultOf(path string) (string, bool) {
	for part := path; ; {
		if says, ok := mayBeMissing[part]; ok {
			return says, true
		}
		_, rest, more := strings.Cut(part, ".")
		if !more {
			return "", false
		}
		part = rest
	}
}

// Every field is left out once: either it is named, or it is listed as one that may be
// missing and the call is answered. A field that several requests share is tried once.
func TestMissingFields(t *testing.T) {
	h := open(t)
	used, tried := map[string]bool{}, once{}
	for _, req := range requests(t) {
		for _, s := range spots(req.ProtoReflect()) {
			if s.entry >= 0 || s.field.Name() == "values" && s.field.Enum() != nil && s.field.Enum().Name() == "ValueChoice" {
				continue // without a position the list has another length; compare has the usual values
			}
			if _, ok := req.(*ripwrightv1.ConfirmCutRequest); ok && strings.HasPrefix(s.path, "order.items") || !ok && refers(req, s) {
				continue // strips, rules and scrap need the items; the other calls try them
			}
			spoiled := s.without(req)
			if n, must := need(req, s.path); must {
				used[n.key] = true
				refused(t, h, s.path+" missing", spoiled, n.field, n.says)
				continue
			}
			holds, may := defaultOf(s.path)
			if !may {
				t.Errorf("%s is listed neither as needed nor with what its absence means", s.path)
			} else if readAlike(req, s) || quickly(req) || tried.again(s) {
				continue
			} else if v := h.either(t, spoiled); v.status.Code() != codes.OK {
				t.Errorf("%s missing, so %s: %s", s.path, holds, v)
			}
		}
	}
	for _, all := range []map[string]needed{mustBeThere, plansNeed} {
		for path := range all {
			if !used[path] {
				t.Errorf("%s is needed, but no case omits it", path)
			}
		}
	}
	quiet(t, h)
}

// The requests that other tests spoil are valid. Slow calls are made over gRPC only.
func TestGoodRequests(t *testing.T) {
	h := open(t)
	for _, req := range requests(t) {
		v := h.grpc(t, req)
		if !quickly(req) {
			v = h.both(t, req)
		}
		if v.status.Code() != codes.OK {
			t.Error(v)
		}
	}
}
