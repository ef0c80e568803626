package trial

import (
	"fmt"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/testdata/brief"
)

// The detail that a caller chooses makes an answer small: with an order of 500 items,
// over gRPC, over JSON and on a line with its state. clients/calling.md has these sizes.
func TestAnswerSizes(t *testing.T) {
	brief.Skip(t)
	h := open(t)
	items := make([]string, 500)
	for i := range items {
		items[i] = fmt.Sprintf(`{"item_id": "item-%03d", "width_mm": %g, "value": %d, "required": {"length_m": 400}, "stack": "stack-%d"}`,
			i, 40+float64(i)*0.5, 9+i%17, i%12)
	}
	for _, c := range []struct {
		what, detail           string
		rpc, json, line, fills int // at most; and the number of fills in a plan's answer
	}{
		{"as it comes", `{}`, 2_000, 6_000, 16_000, 3},
		{"fills of all items", `{"fills": "ITEM_DETAIL_ALL"}`, 40_000, 120_000, 50_000, 500},
		{"no fills, pockets alone", `{"fills": "ITEM_DETAIL_NONE", "plans": "PLAN_DETAIL_POCKETS"}`, 1_000, 3_000, 15_000, 0},
	} {
		options := `"options": {"detail": ` + c.detail + `}`
		a, err := ripped(t, h, ownSaw, orderOf(items...), options)
		if err != nil {
			t.Fatal(err)
		}
		r := h.post(t, "/v1/boards:solve", `{`+strings.Join([]string{ownSaw, orderOf(items...), options, plainOne}, ",")+`}`)
		up := strings.Replace(setUpWith(orderOf(items...), options), byName, ownSaw, 1)
		l, err := line(t, h, said(t, up, aBoard, aBoard)...)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d bytes by gRPC, %d by JSON, %d on a line, its state %d", c.what, proto.Size(a), len(r.body), proto.Size(l), len(l.GetState()))
		if proto.Size(a) > c.rpc || len(r.body) > c.json || proto.Size(l) > c.line || len(a.GetFills()) > c.fills || c.fills == 500 && len(a.GetFills()) != 500 {
			t.Errorf("%s: %d bytes by gRPC, %d by JSON, %d on a line, %d fills", c.what, proto.Size(a), len(r.body), proto.Size(l), len(a.GetFills()))
		}
		if len(a.GetPlan().GetPockets()) == 0 || l.GetPlan() == nil {
			t.Errorf("%s: no plan", c.what)
		}
	}
}
