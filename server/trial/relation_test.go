package trial

import (
	"slices"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Fields that are valid alone and wrong together.
var wrongTogether = map[string]struct {
	from, to, field, says string
}{
	"edges cross":               {`"near_mm": 4, "far_mm": 232`, `"near_mm": 4, "far_mm": 3.9`, "board.stations[1].far_mm", "less than near_mm 4; the edges cross"},
	"stations out of order":     {`"x_mm": 2400`, `"x_mm": 9`, "board.stations[1].x_mm", "stations go in rising order of x"},
	"station twice":             {`"x_mm": 2400`, `"x_mm": 10`, "board.stations[1].x_mm", "stations go in rising order of x"},
	"station beyond the board":  {`"x_mm": 2400`, `"x_mm": 2401`, "board.stations[1].x_mm", "0 to 2400"},
	"straight edge that is not": {`"length_mm": 2400`, `"length_mm": 2400, "near_edge_straight": true`, "board.stations[1].near_mm", "must be 0 when near_edge_straight is set"},
	"no wood": {`[{"x_mm": 10, "near_mm": 0, "far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}]`,
		`[{"x_mm": 10, "near_mm": 7, "far_mm": 7}]`, "board.stations", "no wood to rip"},
	"shorter than the saw takes":  {`"min_length_mm": 600`, `"min_length_mm": 2401`, "board.length_mm", "the saw takes 2401 mm and up"},
	"longer than the saw takes":   {`"length_mm": 2400`, `"length_mm": 6201`, "board.length_mm", "the saw takes at most 6200 mm"},
	"narrower than the saw takes": {`"min_width_mm": 60`, `"min_width_mm": 241`, "board.stations", "the saw takes 241 mm and up"},
	"wider than the saw takes":    {`"max_width_mm": 610`, `"max_width_mm": 239`, "board.stations", "the saw takes at most 239 mm"},
	"thinner than the saw takes":  {`"thickness_mm": 25.4`, `"thickness_mm": 11`, "board.thickness_mm", "the saw takes 12 mm and up"},
	"thicker than the saw takes":  {`"thickness_mm": 25.4`, `"thickness_mm": 91`, "board.thickness_mm", "the saw takes at most 90 mm"},

	"fence travel upside down":   {`"min_mm": 40, "max_mm": 290`, `"min_mm": 290, "max_mm": 40`, "saw.fence.max_mm", "below min_mm 290"},
	"fence with nowhere to stop": {`"min_mm": 40, "max_mm": 290`, `"min_mm": 40.1, "max_mm": 40.4`, "saw.fence.max_mm", "no whole multiple of step_mm 0.5"},
	"fence outside its travel":   {`"fence_mm": 120`, `"fence_mm": 39`, "current_setting.fence_mm", "within the travel, 40 to 290"},
	"blade outside its travel":   {`220.5, 300, 400]`, `220.5, 421, 400]`, "current_setting.blades_mm[2]", "within the travel, 260 to 420"},
	"another arbor":              {`220.5, 300, 400]`, `220.7, 300, 400]`, "current_setting.blades_mm[1]", "this blade is fixed at 220.4"},
	"a blade less on it":         {`220.5, 300, 400]`, `220.5, 300]`, "current_setting.blades_mm", "the saw has 4 blades"},
	"fixed blades out of order":  {`{"fixed_mm": 150}, {"fixed_mm": 220.4}`, `{"fixed_mm": 220.4}, {"fixed_mm": 150}`, "saw.blades[1].fixed_mm", "in their order along the arbor"},
	"fixed blades too near":      {`{"fixed_mm": 220.4}`, `{"fixed_mm": 183}`, "saw.blades[1].fixed_mm", "leave no room below 183.6"},
	"moving blade without room":  {`{"min_mm": 310, "max_mm": 560}`, `{"min_mm": 250, "max_mm": 290}`, "saw.blades[3].moving.max_mm", "in their order along the arbor"},
	"gap below the least strip":  {`"min_gap_mm": 30`, `"min_gap_mm": 24`, "saw.min_gap_mm", "at least min_strip_width_mm, 25"},
	"limits upside down":         {`"min_width_mm": 60, "max_width_mm": 610`, `"min_width_mm": 610, "max_width_mm": 60`, "saw.limits.max_width_mm", "below min_width_mm 610"},

	"defect beyond the board":  {`"to_x_mm": 1540`, `"to_x_mm": 2401`, "board.defects[1].to_x_mm", "0 to 2400"},
	"defect upside down":       {`"from_x_mm": 1500, "to_x_mm": 1540`, `"from_x_mm": 1540, "to_x_mm": 1500`, "board.defects[1].to_x_mm", "not beyond from_x_mm 1540"},
	"defect without a width":   {`"from_y_mm": 150, "to_y_mm": 180`, `"from_y_mm": 150, "to_y_mm": 150`, "board.defects[1].to_y_mm", "a defect has a width"},
	"length twice":             {`"length_mm": 430`, `"length_mm": 720`, "order.items[3].crosscut.lengths[1].length_mm", "which lengths[0] has too"},
	"length beyond any board":  {`"length_mm": 430`, `"length_mm": 6201`, "order.items[3].crosscut.lengths[1].length_mm", "the saw takes boards of at most 6200"},
	"piece beyond any board":   {`"piece_length_mm": 700`, `"piece_length_mm": 6201`, "order.items[2].piece_length_mm", "the saw takes boards of at most 6200"},
	"value beside lengths":     {`"width_mm": 55`, `"width_mm": 55, "value": 3`, "order.items[3].value", "omit it"},
	"pieces beside lengths":    {`"width_mm": 55`, `"width_mm": 55, "required": {"pieces": 3}`, "order.items[3].required", "for each length"},
	"panel of a width":         {`"width_mm": 55`, `"width_mm": 55, "panel": {"width_mm": 400}`, "order.items[3].panel", "glued up from a range"},
	"joint of the whole strip": {`"joint_allowance_mm": 1.5`, `"joint_allowance_mm": 40`, "order.items[1].panel.joint_allowance_mm", "below range.min_mm 40"},

	"item twice":               {`"zq7-rail"`, `"zq7-stile"`, "order.items[2].item_id", "which order.items[0] has too"},
	"item below the least":     {`"width_mm": 50`, `"width_mm": 24`, "order.items[2].width_mm", "saw.min_strip_width_mm 25"},
	"range below the least":    {`"min_mm": 40, "max_mm": 90`, `"min_mm": 24, "max_mm": 90`, "order.items[1].range.min_mm", "saw.min_strip_width_mm 25"},
	"range upside down":        {`"min_mm": 40, "max_mm": 90`, `"min_mm": 90, "max_mm": 40`, "order.items[1].range.max_mm", "below min_mm 90"},
	"range with a tolerance":   {`"max_mm": 90}`, `"max_mm": 90}, "tolerance_mm": 1`, "order.items[1].tolerance_mm", "must be 0 for a range"},
	"lengths upside down":      {`"min_length_mm": 500`, `"min_length_mm": 5001`, "order.items[0].max_length_mm", "below min_length_mm 5001"},
	"area of a width required": {`"required": {"length_m": 120}`, `"required": {"area_m2": 120}`, "order.items[0].required.area_m2", "a width is counted in length_m or pieces"},
	"area of a width made":     {`"made": {"length_m": 31.5}`, `"made": {"area_m2": 31.5}`, "order.items[0].made.area_m2", "a width is counted in length_m or pieces"},
	"length of a range":        {`"required": {"area_m2": 12}`, `"required": {"length_m": 12}`, "order.items[1].required.length_m", "a range is counted in area_m2 or pieces"},
	"length of a range made":   {`"made": {"area_m2": 1}`, `"made": {"length_m": 1}`, "order.items[1].made.length_m", "a range is counted in area_m2 or pieces"},
	"made in another unit":     {`"made": {"pieces": 2}`, `"made": {"length_m": 2}`, "order.items[2].made", "is in length_m; must be in pieces"},
	"pieces of a length":       {`"made": {"length_m": 31.5}`, `"made": {"length_m": 31.5}, "piece_length_mm": 600`, "order.items[0].piece_length_mm", "must be absent unless required or made is in pieces"},
	"work of a fraction":       {`"work_limit": 20000`, `"work_limit": 0.25`, "options.work_limit", "a whole number, 1 to 1e15"},
	"price without a feed":     {`"feed_m_per_min": 30, `, ``, "options.price_per_saw_hour", "only if the saw's feed_m_per_min is known"},
	"width rounded to nothing": {`"width_mm": 50`, `"width_mm": 1e-9`, "order.items[2].width_mm", "above 0"},
}

func TestWrongTogether(t *testing.T) {
	h := open(t)
	whole := `{` + base + `, "options": {"work_limit": 20000, "price_per_saw_hour": 90}}`
	for name, c := range wrongTogether {
		spoiled := strings.Replace(whole, c.from, c.to, 1)
		if spoiled == whole {
			t.Fatalf("%s: %s is not in the request", name, c.from)
		}
		var solve ripwrightv1.SolveBoardRequest
		read(t, spoiled, &solve)
		refused(t, h, name, &solve, c.field, c.says)
		// A check reads its setting in the same way.
		var check ripwrightv1.CheckPlanRequest
		read(t, strings.TrimSuffix(spoiled, "}")+setting+"}", &check)
		refused(t, h, name+", checked", &check, c.field, c.says)
	}
	quiet(t, h)
}

// Mistakes in different fields are all named at once, up to a number.
func TestAllFaultsAreNamed(t *testing.T) {
	h := open(t)
	m := goodSolve(t)
	m.Board.LengthMm = -1
	m.GetSaw().KerfMm = proto.Float64(51)
	m.Order.Items[2].ItemId = "zq7-stile"
	m.Options.RunnersUp = 21
	v := h.both(t, m)
	got := v.fields()
	slices.Sort(got)
	if want := []string{"board.length_mm", "options.runners_up", "order.items[2].item_id", "saw.kerf_mm"}; !slices.Equal(got, want) {
		t.Errorf("%s, want %v", v, want)
	}
	m = goodSolve(t)
	for i := range 2000 {
		m.Board.Stations = append(m.Board.Stations, &ripwrightv1.Station{XMm: float64(i), FarMm: 1e9})
	}
	m.Board.Stations = m.Board.Stations[2:]
	v = h.both(t, m)
	if n := len(v.violations()); n != 24 || !strings.Contains(v.status.Message(), "and 1999 more") {
		t.Errorf("%d violations for 2000 wrong stations: %s", n, v.status.Message())
	}
}

// A message quotes a caller's text only as far as a header can hold it.
func TestFaultsFitAHeader(t *testing.T) {
	h := open(t)
	m := goodSolve(t)
	m.Order.Items[0].ItemId = strings.Repeat("\u2028", 128) // 6 bytes each once quoted
	for range 30 {
		m.Order.Items = append(m.Order.Items, m.Order.Items[0])
	}
	v := h.both(t, m)
	if n := proto.Size(v.status.Proto()); v.status.Code() != codes.InvalidArgument || n > 8<<10 {
		t.Errorf("a status of %d bytes: %s", n, v)
	}
}

func TestUnknownSaw(t *testing.T) {
	h := open(t)
	for name, says := range map[string]string{
		"egret":                  `"egret"`,
		strings.Repeat("e", 128): "the service has no saw called",
	} {
		solve, check := goodSolve(t), goodCheck(t)
		solve.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: name}
		check.SawChoice = &ripwrightv1.CheckPlanRequest_SawName{SawName: name}
		for _, req := range []proto.Message{solve, check} {
			v := h.both(t, req)
			resource := ""
			for _, d := range v.status.Details() {
				if r, ok := d.(*errdetails.ResourceInfo); ok {
					resource = r.GetResourceType() + " " + r.GetResourceName()
				}
			}
			if v.status.Code() != codes.NotFound || !strings.Contains(v.says(), says) || resource != "saw "+name {
				t.Errorf("%.20s: %s %q", name, v, resource)
			}
		}
	}
	for name, field := range map[string]string{"": "saw", strings.Repeat("e", 129): "saw_name"} {
		solve := goodSolve(t)
		solve.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: name}
		refused(t, h, "saw_name "+name, solve, field, "")
		check := goodCheck(t)
		check.SawChoice = &ripwrightv1.CheckPlanRequest_SawName{SawName: name}
		refused(t, h, "saw_name "+name, check, field, "")
	}
	quiet(t, h)
}
