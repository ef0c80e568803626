package trial

import (
	"math"
	"slices"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// wrongAmongPlans are fields of a request about whole orders that are valid alone and
// wrong together.
var wrongAmongPlans = []struct {
	req               func(testing.TB) proto.Message
	from, to          string
	field, says, what string
}{
	{valuesOf, `"zq7-t"`, `"zq7-l"`, "lumber.lots[1].lot_id", "which lots[0] has too", "a lot twice"},
	{valuesOf, `"taper_mm":3`, `"taper_mm":151`, "lumber.lots[2].spread.taper_mm", "0 to 150", "more taper than width"},
	{valuesOf, `"mean_width_mm":200`, `"mean_width_mm":149`, "lumber.lots[2].spread.mean_width_mm", "150 to 260", "a mean outside the ends"},
	{valuesOf, `"max_width_mm":260`, `"max_width_mm":149`, "lumber.lots[2].spread.max_width_mm", "150 to 1000", "ends upside down"},
	{valuesOf, `"thickness_mm":26`, `"thickness_mm":26,"near_edge_straight":true`, "lumber.lots[2].spread.crook_mm", "must be 0", "a crooked straight edge"},
	{valuesOf, `"x_mm":2400,"near_mm":4`, `"x_mm":2401,"near_mm":4`, "lumber.lots[0].listed.boards[0].board.stations[1].x_mm", "0 to 2400", "a station beyond the board"},
	{valuesOf, `"rules":[{"item_id":"zq7-stile"`, `"rules":[{"item_id":"zq7-no"`, "rules[0].item_id", "has no such item", "a rule for nothing"},
	{valuesOf, `"rules":[{"item_id":"zq7-stile"`, `"rules":[{"item_id":"zq7-panel"`, "rules[1].item_id", "is given twice", "two rules for an item"},
	{valuesOf, `"keep":true`, `"keep":false`, "rules[1].keep", "is false", "a rule that keeps nothing"},
	{valuesOf, `"piece_length_mm":700`, `"piece_length_mm":19`, "order.items[2].piece_length_mm", "at least 20", "a piece too short to plan"},
	{valuesOf, `"width_mm":55`, `"width_mm":55,"required":{"pieces":4}`, "order.items[3].required", "required for each length", "pieces beside lengths"},
	{valuesOf, `"length_mm":430`, `"length_mm":6201`, "order.items[3].crosscut.lengths[1].length_mm", "boards of at most 6200", "a length beyond any board"},
	{valuesOf, `"width_mm":50`, `"width_mm":24`, "order.items[2].width_mm", "min_strip_width_mm 25", "an item below the least"},
	{valuesOf, `"min_gap_mm":30`, `"min_gap_mm":24`, "saw.min_gap_mm", "at least min_strip_width_mm", "a gap below the least strip"},
	{quoteOf, `"scrap":[{"item_id":"zq7-stile"`, `"scrap":[{"item_id":"zq7-no"`, "scrap[0].item_id", "has no such item", "scrap of nothing"},
	{quoteOf, `"scrap":[`, `"scrap":[{"item_id":"zq7-stile"},`, "scrap[1].item_id", "is given twice", "two allowances for an item"},
	{watchOf, `"zq7-rail"`, `"zq7-stile"`, "quote.order.items[2].item_id", "which order.items[0] has too", "an item twice, watched"},
	{arborOf, `"min_mm":100,"max_mm":250`, `"min_mm":250,"max_mm":249`, "spacers.max_mm", "below min_mm 250", "spacers upside down"},
	{arborOf, `"min_mm":100,"max_mm":250`, `"min_mm":100,"max_mm":111`, "spacers.max_mm", "fewer positions than fixed blades", "no room for the blades"},
	{arborOf, `"item_id":"zq7-rail"`, `"item_id":"zq7-stile"`, "orders[0].order.items[2].item_id", "which order.items[0] has too", "an item twice in an order"},
	{arborOf, `"width_mm":50`, `"width_mm":24`, "orders[0].order.items[2].width_mm", "min_strip_width_mm 25", "an item below the least in an order"},
	{sequenceOf, `"zq7-2"`, `"zq7-1"`, "jobs[1].order_id", "which jobs[0] has too", "an order twice"},
	{sequenceOf, `"current_fixed_mm":[100,160]`, `"current_fixed_mm":[160,100]`, "current_fixed_mm[1]", "in rising order", "blades out of order"},
	{sequenceOf, `"fixed_mm":[110,170]`, `"fixed_mm":[110,110]`, "jobs[0].arbors[1].fixed_mm[1]", "in rising order", "two blades at one place"},
}

func valuesOf(t testing.TB) proto.Message   { t.Helper(); return goodValues(t) }
func quoteOf(t testing.TB) proto.Message    { t.Helper(); return goodQuote(t) }
func watchOf(t testing.TB) proto.Message    { t.Helper(); return goodWatch(t) }
func arborOf(t testing.TB) proto.Message    { t.Helper(); return goodArbor(t) }
func sequenceOf(t testing.TB) proto.Message { t.Helper(); return goodSequence(t) }

func TestWrongTogetherInPlans(t *testing.T) {
	h := open(t)
	for _, c := range wrongAmongPlans {
		m := c.req(t)
		raw, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(strings.ReplaceAll(string(raw), ", ", ","), ": ", ":")
		spoiled := strings.Replace(text, c.from, c.to, 1)
		if spoiled == text {
			t.Fatalf("%s: %s is not in %s", c.what, c.from, text)
		}
		proto.Reset(m)
		read(t, spoiled, m)
		refused(t, h, c.what, m, c.field, c.says)
	}
	quiet(t, h)
}

// All faults are named at once, wherever they are, and nothing that only follows from
// them.
func TestAllFaultsOfPlansAreNamed(t *testing.T) {
	h := open(t)
	m := goodQuote(t)
	m.Lumber.Lots[1].GetTagged().Rows[0].WidthMm = math.NaN()
	m.Lumber.Lots[1].GetTagged().Rows[0].Count = proto.Int32(-1)
	m.Lumber.Lots[2].GetSpread().CrookMm = math.Inf(1)
	m.Lumber.Seed = -1
	m.Order.Items[3].ItemId = "zq7-rail" // how fields relate to each other
	m.GetSaw().KerfMm = proto.Float64(-4)
	m.Pace.ShiftHours = proto.Float64(25)
	m.Simulations = proto.Int32(1001)
	m.Scrap[0].Fraction = 11
	want := []string{"lumber.lots[1].tagged.rows[0].count", "lumber.lots[1].tagged.rows[0].width_mm", "lumber.lots[2].spread.crook_mm",
		"lumber.seed", "order.items[3].item_id", "pace.shift_hours", "saw.kerf_mm", "scrap[0].fraction", "simulations"}
	for _, before := range []string{"", "quote."} {
		req := proto.Message(m)
		if before != "" {
			req = &ripwrightv1.WatchQuoteRequest{Quote: m}
		}
		v := h.both(t, req)
		got := v.fields()
		slices.Sort(got)
		for i := range got {
			got[i] = strings.TrimPrefix(got[i], before)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s, want %v", v, want)
		}
	}
}
