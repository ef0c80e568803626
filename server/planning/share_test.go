package planning

import (
	"math"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const (
	pairSaw = `"saw":{"name":"pair","kerf_mm":4,"step_mm":1,"fence":{"max_mm":100},"blades":[{"fixed_mm":100},{"fixed_mm":164},{"fixed_mm":228}],"min_gap_mm":20,"min_strip_width_mm":20}`
	oddSaw  = `"saw":{"name":"odd","kerf_mm":4,"step_mm":1,"fence":{"max_mm":100},"blades":[{"fixed_mm":100},{"fixed_mm":164},{"fixed_mm":248}],"min_gap_mm":20,"min_strip_width_mm":20}`
	came    = `"expected":[{"length_mm":1000,"stations":[{"far_mm":160}]}]`
)

func shareOf(t *testing.T, text string) *ripwrightv1.ShareOrderRequest {
	t.Helper()
	m := &ripwrightv1.ShareOrderRequest{}
	if err := protojson.Unmarshal([]byte("{"+text+"}"), m); err != nil {
		t.Fatal(err)
	}
	return m
}

const twoItems = `"order":{"order_id":"o","items":[{"item_id":"slat","width_mm":60,"value":1,"value_per":"VALUE_PER_LENGTH","required":{"length_m":120},"made":{"length_m":6},"due_boards":30},
 {"item_id":"rail","width_mm":80,"value":1,"value_per":"VALUE_PER_LENGTH","crosscut":{"lengths":[]},"required":{"length_m":30}}]}`

var plainItems = strings.Replace(twoItems, `"crosscut":{"lengths":[]},`, "", 1)

// required gives what each line's order requires of an item in m.
func required(a *ripwrightv1.ShareOrderResponse, item int) (all []float64) {
	for _, l := range a.GetLines() {
		all = append(all, l.GetOrder().GetItems()[item].GetRequired().GetLengthM())
	}
	return all
}

func near(got, want []float64, within float64) bool {
	for i := range want {
		if len(got) != len(want) || math.Abs(got[i]-want[i]) > within {
			return false
		}
	}
	return true
}

// Lines with the same arbor share by pace what nobody has made or reserved, each in
// addition to its own, and the orders that they get are ready to be sent.
func TestShareByPace(t *testing.T) {
	s := service()
	m := shareOf(t, plainItems+`,`+came+`,"lines":[
 {"line_id":"east","saw_name":"SAW","boards_per_hour":300,"fills":[{"item_id":"slat","made":{"length_m":20},"reserved":{"length_m":2}}]},
 {"line_id":"west","saw_name":"SAW","boards_per_hour":100,"fills":[{"item_id":"rail","made":{"length_m":10}}]},
 {"line_id":"south","saw_name":"SAW","boards_per_hour":0,"fills":[{"item_id":"slat","made":{"length_m":4},"reserved":{"length_m":3}}]}]`)
	for _, l := range m.GetLines() {
		one := shareOf(t, `"lines":[{`+oddSaw+`}]`)
		l.SawChoice = one.GetLines()[0].GetSawChoice()
	}
	a, err := s.ShareOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	// Of slats 120 - 6 - 20 - 4 = 90 m are open, 3 of them reserved by the line that is
	// stopped: 65.25 and 21.75, in strips of a metre; of rails 20.
	if got := required(a, 0); !near(got, []float64{20 + 65.25, 21.75, 4 + 3}, 1) || math.Abs(got[0]+got[1]+got[2]-114) > 1e-9 {
		t.Errorf("slats required of the lines: %v", got)
	}
	if got := required(a, 1); !near(got, []float64{15, 15, 0}, 1e-9) {
		t.Errorf("rails required of the lines: %v", got)
	}
	if !a.GetValuesPlanned() || a.GetLines()[0].GetNothingLeft() || !a.GetLines()[2].GetNothingLeft() {
		t.Errorf("%v", a)
	}
	for i, due := range []int32{22, 7, 1} {
		if it := a.GetLines()[i].GetOrder().GetItems()[0]; it.GetDueBoards() != due || it.Made != nil {
			t.Errorf("line %d is to have its slats by board %d with %v made", i, it.GetDueBoards(), it.Made)
		}
	}
	if h, boards := a.GetHours(), a.GetLines()[0].GetBoards(); math.Abs(h*300-boards) > 1e-6 || boards < 60 || boards > 67 {
		t.Errorf("%g hours, %g boards of the first line", h, boards)
	}
	again, err := s.ShareOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if a.SolveTimeUs, again.SolveTimeUs = 0, 0; !proto.Equal(a, again) {
		t.Errorf("the second time it is\n%v\nand the first time it was\n%v", again, a)
	}
	// Without expected boards it is the same by pace, in strips of 3 m, at own values.
	m.Expected = nil
	if a, err = s.ShareOrder(t.Context(), m); err != nil || a.GetValuesPlanned() || a.Hours != nil || !near(required(a, 0), []float64{85.25, 21.75, 7}, 3) {
		t.Errorf("%v, %v", a, err)
	}
	if it := a.GetLines()[0].GetOrder().GetItems()[0]; it.GetValue() != 1 {
		t.Errorf("%v", it)
	}
}

// If arbors differ each line gets what it makes best, and nothing that it cannot make.
func TestShareByArbor(t *testing.T) {
	s := service()
	text := strings.Replace(plainItems, `,"made":{"length_m":6},"due_boards":30`, "", 1) + `,` + came + `,"lines":[
 {"line_id":"east",` + pairSaw + `,"boards_per_hour":60},{"line_id":"west",` + oddSaw + `,"boards_per_hour":60}]`
	a, err := s.ShareOrder(t.Context(), shareOf(t, text))
	if err != nil {
		t.Fatal(err)
	}
	// On each line n boards: 2n + n slats and n rails, so 40 boards; worked out by hand.
	if got := required(a, 0); !near(got, []float64{80, 40}, 1) {
		t.Errorf("slats required of the lines: %v", got)
	}
	if got := required(a, 1); !near(got, []float64{0, 30}, 1e-9) {
		t.Errorf("rails required of the lines: %v", got)
	}
	if h := a.GetHours(); math.Abs(h-40.0/60) > 0.01 {
		t.Errorf("%g hours", h)
	}
	m := shareOf(t, text)
	m.Expected = nil
	if _, err := s.ShareOrder(t.Context(), m); err == nil || !strings.Contains(err.Error(), "expected is empty; an order is shared among different saws") {
		t.Errorf("%v", err)
	}
}

// An order that is all made or reserved leaves nothing for any line.
func TestShareOfNothing(t *testing.T) {
	a, err := service().ShareOrder(t.Context(), shareOf(t, `"order":{"items":[{"item_id":"slat","width_mm":60,"required":{"length_m":5}}]},`+came+`,
 "lines":[{"line_id":"east",`+oddSaw+`,"boards_per_hour":9,"fills":[{"item_id":"slat","made":{"length_m":6}}]},{"line_id":"west",`+oddSaw+`,"boards_per_hour":9,"fills":[{"item_id":"slat","reserved":{"length_m":1}}]}]`))
	if err != nil || a.GetValuesPlanned() || !a.GetLines()[0].GetNothingLeft() || !a.GetLines()[1].GetNothingLeft() || !near(required(a, 0), []float64{6, 1}, 0) {
		t.Errorf("%v, %v", a, err)
	}
}

// Faults are reported by their fields.
func TestShareRefused(t *testing.T) {
	s := service()
	line := `{"line_id":"east",` + oddSaw + `,"boards_per_hour":60`
	for want, text := range map[string]string{
		"lines is empty": plainItems,
		"lines[1].line_id is \"east\", which lines[0] has too":                          plainItems + `,"lines":[` + line + `},` + line + `}]`,
		"lines[0] has no pace":                                                          plainItems + `,"lines":[{"line_id":"east",` + oddSaw + `}]`,
		"lines[1] has another kind of pace":                                             plainItems + `,"lines":[` + line + `},{"line_id":"west",` + oddSaw + `,"face_m2_per_hour":1}]`,
		"lines are all stopped":                                                         plainItems + `,"lines":[{"line_id":"east",` + oddSaw + `,"boards_per_hour":0}]`,
		"lines[0].saw is missing":                                                       plainItems + `,"lines":[{"line_id":"east","boards_per_hour":1}]`,
		"lines[0].saw_name: the service has no saw called \"nobody\"":                   plainItems + `,"lines":[{"line_id":"east","saw_name":"nobody","boards_per_hour":1}]`,
		"lines[0].fills[0].item_id is \"slit\"; the order has no such item":             plainItems + `,"lines":[` + line + `,"fills":[{"item_id":"slit"}]}]`,
		"lines[0].fills[1].item_id is \"slat\", which fills[0] has too":                 plainItems + `,"lines":[` + line + `,"fills":[{"item_id":"slat"},{"item_id":"slat"}]}]`,
		"lines[0].fills[0].made is in another unit":                                     plainItems + `,"lines":[` + line + `,"fills":[{"item_id":"slat","made":{"pieces":1}}]}]`,
		"lines[0].fills[0].reserved is empty":                                           plainItems + `,"lines":[` + line + `,"fills":[{"item_id":"slat","reserved":{}}]}]`,
		"lines[0].fills[0].lengths[0].length_mm is 500, which is not a crosscut length": plainItems + `,"lines":[` + line + `,"fills":[{"item_id":"slat","lengths":[{"length_mm":500}]}]}]`,
		"order.items want nothing":                                                      `"order":{"items":[{"item_id":"slat","width_mm":60}]},"lines":[` + line + `}]`,
		"order.items[0].width_mm is 10":                                                 `"order":{"items":[{"item_id":"slat","width_mm":10,"required":{"length_m":1}}]},"lines":[` + line + `}]`,
		"expected[0].stations":                                                          plainItems + `,"expected":[{"length_mm":1000}],"lines":[` + line + `}]`,
		"rules[0].item_id is \"slit\"; the order has no such item":                      plainItems + `,"rules":[{"item_id":"slit","keep":true}],"lines":[` + line + `}]`,
		"lines[1].saw.blades[1].fixed_mm":                                               plainItems + `,"lines":[` + line + `},{"line_id":"west",` + strings.Replace(oddSaw, "164", "90", 1) + `,"boards_per_hour":1}]`,
	} {
		if _, err := s.ShareOrder(t.Context(), shareOf(t, text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q: %v", want, err)
		}
	}
}

// A time limit that passes at once gives shares by pace, and the answer says so.
func TestShareStopped(t *testing.T) {
	m := shareOf(t, plainItems+`,`+came+`,"lines":[{"line_id":"east",`+pairSaw+`,"boards_per_hour":30},{"line_id":"west",`+oddSaw+`,"boards_per_hour":10}]`)
	in, err := service().readShare(m)
	if err != nil {
		t.Fatal(err)
	}
	a, err := in.share((&turn{stop: func() bool { return true }}).options(0))
	if err != nil || a.GetValuesPlanned() || a.GetEndedBy() != ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT || !near(required(a, 0), []float64{85.5, 28.5}, 1) {
		t.Errorf("%v, %v", a, err)
	}
}
