package tally

import (
	"math"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Every answer is a refusal that names fields, or has only finite numbers: no panic, no
// overflow into nonsense.
func FuzzTallyPack(f *testing.F) {
	f.Add([]byte(full))
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"packs":[{"pack_id":"a","species":"sweetgum","nominal_thickness_in":78,"price_per_mbf":1e6,"boards":[{"inches":{"width_in":157,"length_ft":65},"pieces":1000000}]}]}`))
	f.Add([]byte(`{"packs":[{"pack_id":"a","species":"sweetgum","nominal_thickness_in":1e-6,"tally":{"board_feet":0}}],"lumber":[{"pack_id":"a","boards":1000000,"face_m2":9000,"length_m":2250}]}`))
	s := made(1)
	f.Fuzz(func(t *testing.T, raw []byte) {
		var m ripwrightv1.TallyPackRequest
		if protojson.Unmarshal(raw, &m) != nil {
			return
		}
		r, err := s.TallyPack(t.Context(), &m)
		if err != nil {
			if status.Code(err) != codes.InvalidArgument || len(violations(err)) == 0 {
				t.Fatalf("%v", err)
			}
			for _, v := range violations(err) {
				if v.GetField() == "" || v.GetDescription() == "" || v.GetReason() == "" {
					t.Fatalf("%v", v)
				}
			}
			return
		}
		scalars(r.ProtoReflect(), "", func(in protoreflect.Message, fd protoreflect.FieldDescriptor, at string) {
			if fd.Kind() != protoreflect.DoubleKind || fd.IsList() {
				return
			}
			if v := in.Get(fd).Float(); math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s is %v", at, v)
			}
		})
		for i, p := range r.GetPacks() {
			if p.MeasuredBoardFeet != nil && (p.GetMinBoardFeet() > p.GetMeasuredBoardFeet() || p.GetMeasuredBoardFeet() > p.GetMaxBoardFeet()) {
				t.Fatalf("packs[%d]: %v is not within %v to %v", i, p.GetMeasuredBoardFeet(), p.GetMinBoardFeet(), p.GetMaxBoardFeet())
			}
			if l := p.GetLeft(); l != nil && (l.GetMinBoardFeet() > l.GetBoardFeet() || l.GetBoardFeet() > l.GetMaxBoardFeet() || l.GetMinBoardFeet() < 0 || l.GetBoards() < 0) {
				t.Fatalf("packs[%d]: %v", i, l)
			}
		}
	})
}

func violations(err error) []*errdetails.BadRequest_FieldViolation {
	for _, d := range status.Convert(err).Details() {
		if bad, ok := d.(*errdetails.BadRequest); ok {
			return bad.GetFieldViolations()
		}
	}
	return nil
}
