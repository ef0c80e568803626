package app

import (
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/tallycsv"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// guidesTally gives the request and the pack's account in the guide to tallies.
func guidesTally(t *testing.T) (request, account string) {
	t.Helper()
	text, err := os.ReadFile("../../clients/tally.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile("(?s)```json\n(.*?)```").FindAllStringSubmatch(string(text), 2)
	if len(blocks) != 2 {
		t.Fatalf("%d JSON blocks in the guide to tallies", len(blocks))
	}
	return blocks[0][1], blocks[1][1]
}

// The tally in the guide gives the account shown below it, over JSON and gRPC.
func TestGuidesTally(t *testing.T) {
	request, account := guidesTally(t)
	var want ripwrightv1.PackAccount
	if err := protojson.Unmarshal([]byte(account), &want); err != nil {
		t.Fatal(err)
	}
	a, _, conn := start(t)
	code, body := post(t, a, "/v1/packs:tally", request)
	if code != http.StatusOK {
		t.Fatalf("%d %s", code, body)
	}
	var viaJSON ripwrightv1.TallyPackResponse
	if err := protojson.Unmarshal([]byte(body), &viaJSON); err != nil {
		t.Fatal(err)
	}
	var req ripwrightv1.TallyPackRequest
	if err := protojson.Unmarshal([]byte(request), &req); err != nil {
		t.Fatal(err)
	}
	viaGRPC, err := ripwrightv1.NewTallyServiceClient(conn).TallyPack(t.Context(), &req)
	if err != nil {
		t.Fatal(err)
	}
	if !proto.Equal(&viaJSON, viaGRPC) {
		t.Errorf("JSON %v\ngRPC %v", &viaJSON, viaGRPC)
	}
	if got := viaGRPC.GetPacks()[0]; !proto.Equal(got, &want) {
		t.Errorf("the guide shows\n%s\nand the service says\n%s", protojson.Format(&want), protojson.Format(got))
	}
}

// Mistakes in a tally are reported by their fields, over both transports.
func TestTallyMistakes(t *testing.T) {
	request, _ := guidesTally(t)
	a, _, conn := start(t)
	for _, c := range []struct{ from, to, field string }{
		{`"width_in": 5.5`, `"width_in": -5.5`, "packs[0].boards[2].inches.width_in"},
		{`"white ash"`, `"wishwood"`, "packs[0].species"},
		{`"inches": {"width_in": 5.5, "length_ft": 9.9}`, `"metric": {"width_mm": 140, "length_mm": 3000}`, "packs[0].boards[2].metric"},
	} {
		wrong := strings.Replace(request, c.from, c.to, 1)
		if code, body := post(t, a, "/v1/packs:tally", wrong); code != http.StatusBadRequest || !strings.Contains(body, `"field":"`+c.field+`"`) {
			t.Errorf("%s: %d %s", c.field, code, body)
		}
		var req ripwrightv1.TallyPackRequest
		if err := protojson.Unmarshal([]byte(wrong), &req); err != nil {
			t.Fatal(err)
		}
		_, err := ripwrightv1.NewTallyServiceClient(conn).TallyPack(t.Context(), &req)
		s := status.Convert(err)
		if s.Code() != codes.InvalidArgument || len(violations(s)) != 1 {
			t.Errorf("%s: %v", c.field, err)
			continue
		}
		if v := violations(s); v[0].GetField() != c.field || v[0].GetReason() == "" {
			t.Errorf("%s: %v", c.field, v)
		}
	}
}

// violations are the fields that a status names.
func violations(s *status.Status) (all []*errdetails.BadRequest_FieldViolation) {
	for _, d := range s.Details() {
		if b, ok := d.(*errdetails.BadRequest); ok {
			all = append(all, b.GetFieldViolations()...)
		}
	}
	return all
}

// Faults of a file that only the service can find are reported by row and column too.
func TestTallyMistakesInAFile(t *testing.T) {
	sheet, err := tallycsv.Read(strings.NewReader("pack_id,row,species,nominal_thickness_in,width_in,length_ft\n" +
		"P1,board,white ash,4/4,6,8\nP1,board,,,6,80\nP2,board,wishwood,5/4,6,8\n"))
	if err != nil {
		t.Fatal(err)
	}
	_, _, conn := start(t)
	_, err = ripwrightv1.NewTallyServiceClient(conn).TallyPack(t.Context(), &ripwrightv1.TallyPackRequest{Packs: sheet.Packs})
	s := status.Convert(err)
	if len(violations(s)) == 0 {
		t.Fatal(err)
	}
	var says []string
	for _, v := range violations(s) {
		says = append(says, sheet.Explain(v.GetField(), v.GetDescription()).Error())
	}
	if len(says) != 2 || !strings.HasPrefix(says[0], "row 3, column length_ft: is 80;") || !strings.HasPrefix(says[1], `row 4, column species: is "wishwood"`) {
		t.Errorf("%q", says)
	}
}
