package intake

import (
	"fmt"
	"runtime"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
)

var within = LimitsOf(4 << 20)

// requests runs do on the request of every call.
func requests(do func(protoreflect.MessageDescriptor)) {
	protoregistry.GlobalFiles.RangeFilesByPackage("ripwright.v1", func(f protoreflect.FileDescriptor) bool {
		for i := range f.Services().Len() {
			for k := range f.Services().Get(i).Methods().Len() {
				do(f.Services().Get(i).Methods().Get(k).Input())
			}
		}
		return true
	})
}

// Every list of every request has a limit, and its entry's size is that of its Go type.
func TestEveryListHasALimit(t *testing.T) {
	seen, lists := map[protoreflect.FullName]bool{}, 0
	var look func(protoreflect.MessageDescriptor)
	look = func(d protoreflect.MessageDescriptor) {
		if seen[d.FullName()] {
			return
		}
		seen[d.FullName()] = true
		s := shapeOf(d)
		if s.size < 40 {
			t.Errorf("%s takes %d bytes", d.FullName(), s.size)
		}
		for i := range d.Fields().Len() {
			f := d.Fields().Get(i)
			if f.IsMap() {
				t.Errorf("%s is a map, which the walks do not support", f.FullName())
			}
			if f.IsList() {
				lists++
				if !s.byNumber[f.Number()].bounded {
					t.Errorf("%s has no limit", f.FullName())
				}
			}
			if f.Message() != nil {
				look(f.Message())
			}
		}
	}
	requests(look)
	if lists < 25 {
		t.Errorf("%d lists", lists)
	}
}

func both(t testing.TB, m proto.Message) (size int64, viaJSON, viaWire fault.List) {
	t.Helper()
	text, err := protojson.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := proto.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	_, viaJSON = within.JSON(text, m.ProtoReflect().Descriptor())
	size, viaWire = within.Wire(raw, m.ProtoReflect().Descriptor())
	return size, viaJSON, viaWire
}

func stations(n int) *ripwrightv1.Board {
	b := &ripwrightv1.Board{}
	for range n {
		b.Stations = append(b.Stations, &ripwrightv1.Station{})
	}
	return b
}

// A list beyond its limit is named by its path, with its number of entries.
func TestCrowded(t *testing.T) {
	boards := func(n int) *ripwrightv1.QuoteOrderRequest {
		m := &ripwrightv1.QuoteOrderRequest{Lumber: &ripwrightv1.Lumber{}}
		for range 3 {
			l := &ripwrightv1.ListedBoards{}
			for range 2 {
				l.Boards = append(l.Boards, &ripwrightv1.CountedBoard{Board: stations(1)})
			}
			m.Lumber.Lots = append(m.Lumber.Lots, &ripwrightv1.Lot{Source: &ripwrightv1.Lot_Listed{Listed: l}})
		}
		m.GetLumber().GetLots()[2].GetListed().GetBoards()[1].Board = stations(n)
		return m
	}
	packs := &ripwrightv1.TallyPackRequest{}
	for range 1001 {
		packs.Packs = append(packs.Packs, &ripwrightv1.Pack{PackId: `a "quoted", [name] {`})
	}
	accepts := &ripwrightv1.SolveBoardRequest{Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{}, {Accepts: strings.Split(strings.Repeat("a],", 40), ",")}}}}
	at := make([]float64, 33)
	for _, c := range []struct {
		m    proto.Message
		want string
	}{
		{&ripwrightv1.SolveBoardRequest{Board: stations(2000)}, ""},
		{&ripwrightv1.SolveBoardRequest{Board: stations(2001)}, "board.stations has 2001 entries; must have 1 to 2000"},
		{&ripwrightv1.SolveBoardRequest{Board: stations(90_000)}, "board.stations has 90000 entries; must have 1 to 2000"},
		{&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: stations(2002)}}}, "board.board.stations has 2002 entries; must have 1 to 2000"},
		{boards(2001), "lumber.lots[2].listed.boards[1].board.stations has 2001 entries; must have 1 to 2000"},
		{packs, "packs has 1001 entries; must have 1 to 1000"},
		{accepts, "order.items[1].accepts has 41 entries; must have 0 to 32"},
		{&ripwrightv1.CheckPlanRequest{Setting: &ripwrightv1.Setting{BladesMm: at}}, "setting.blades_mm has 33 entries; must have 0 to 32"},
		{&ripwrightv1.CheckPlanRequest{Setting: &ripwrightv1.Setting{BladesMm: at[1:]}}, ""},
	} {
		_, viaJSON, viaWire := both(t, c.m)
		for how, l := range map[string]fault.List{"JSON": viaJSON, "protobuf": viaWire} {
			got := ""
			if len(l) > 0 {
				got = l[0].Path + " " + l[0].Says
			}
			if got != c.want {
				t.Errorf("%s: %q, want %q", how, got, c.want)
			}
		}
	}
}

// A tag whose wire type is not its field's is no entry of the list: a reader keeps it as
// unknown.
func TestOtherTypesOnTheWire(t *testing.T) {
	station := protowire.AppendBytes(protowire.AppendTag(nil, 5, protowire.BytesType), nil)
	other := protowire.AppendVarint(protowire.AppendTag(nil, 5, protowire.VarintType), 0)
	for _, c := range []struct{ stations, want int }{{2000, 0}, {2001, 2001}, {2005, 2005}} {
		board := strings.Repeat(string(other), 3) + strings.Repeat(string(station), c.stations) + strings.Repeat(string(other), 3)
		raw := protowire.AppendBytes(protowire.AppendTag(nil, 1, protowire.BytesType), []byte(board))
		read := &ripwrightv1.SolveBoardRequest{}
		if err := proto.Unmarshal(raw, read); err != nil || len(read.GetBoard().GetStations()) != c.stations {
			t.Fatal("the message is not what it is meant to be", err)
		}
		_, l := within.Wire(raw, read.ProtoReflect().Descriptor())
		switch {
		case c.want == 0 && l != nil:
			t.Errorf("%d stations: %v", c.stations, l)
		case c.want > 0 && (len(l) != 1 || !strings.HasPrefix(l[0].Says, fmt.Sprintf("has %d entries", c.want))):
			t.Errorf("%d stations: %v", c.stations, l)
		}
	}
}

// Bodies that are nested too deeply, or large although every list is within its limit,
// are refused however they are made.
func TestLargeAndDeep(t *testing.T) {
	within := LimitsOf(1 << 20)
	d := (&ripwrightv1.QuoteOrderRequest{}).ProtoReflect().Descriptor()
	board := `{"board":{"stations":[{}` + strings.Repeat(",{}", 1999) + `]}}`
	text := `{"lumber":{"lots":[{"listed":{"boards":[` + board + strings.Repeat(","+board, 180) + `]}}]}}`
	if size, l := within.JSON([]byte(text), d); len(l) != 1 || l[0].Path != "body" || size > within.Memory+1000 {
		t.Errorf("%d bytes of JSON: %d %v", len(text), size, l)
	}
	station := protowire.AppendBytes(protowire.AppendTag(nil, 5, protowire.BytesType), nil)
	one := protowire.AppendBytes(protowire.AppendTag(nil, 1, protowire.BytesType), []byte(strings.Repeat(string(station), 2000)))
	entry := protowire.AppendBytes(protowire.AppendTag(nil, 1, protowire.BytesType), one)
	listed := []byte(strings.Repeat(string(entry), 250))
	if got := (&ripwrightv1.ListedBoards{}); proto.Unmarshal(listed, got) != nil || len(got.GetBoards()) != 250 || len(got.GetBoards()[0].GetBoard().GetStations()) != 2000 {
		t.Fatal("the message is not what it is meant to be")
	}
	if _, l := within.Wire(listed, (&ripwrightv1.ListedBoards{}).ProtoReflect().Descriptor()); len(l) != 1 || l[0].Path != "body" {
		t.Errorf("protobuf: %v", l)
	}
	for _, deep := range []string{strings.Repeat("[", 100_000), strings.Repeat(`{"board":`, 100_000), `{"board":` + strings.Repeat("[", 40)} {
		if _, l := within.JSON([]byte(deep), d); len(l) != 1 || !strings.Contains(l[0].Says, "nested more than 32 deep") {
			t.Errorf("%.20s: %v", deep, l)
		}
	}
	var unknown []byte
	for range 250_000 {
		unknown = protowire.AppendVarint(protowire.AppendTag(unknown, 1000, protowire.VarintType), 1)
	}
	if size, _ := within.Wire(unknown, d); size < int64(len(unknown)) {
		t.Errorf("%d bytes of unknown fields count as %d", len(unknown), size)
	}
}

// sink keeps what was read, so that it is allocated.
var sink proto.Message

// The predicted size of a message is at least its true size, and at most a few times as
// much.
func TestSizeIsTrue(t *testing.T) {
	order := &ripwrightv1.CutOrder{}
	for i := range 500 {
		it := &ripwrightv1.Item{ItemId: fmt.Sprint("item ", i), Width: &ripwrightv1.Item_WidthMm{WidthMm: 50}, Accepts: []string{"knot", "stain"},
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 3}}, Crosscut: &ripwrightv1.Crosscut{KerfMm: 3}}
		for k := range 8 {
			it.Crosscut.Lengths = append(it.Crosscut.Lengths, &ripwrightv1.CutLength{LengthMm: 500, Value: float64(k), Required: proto.Int32(3)})
		}
		order.Items = append(order.Items, it)
	}
	packs := &ripwrightv1.TallyPackRequest{Packs: []*ripwrightv1.Pack{{}}}
	for i := range 5_000 {
		packs.Packs[0].Boards = append(packs.Packs[0].Boards, &ripwrightv1.TallyBoard{BoardId: fmt.Sprint(i), Size: &ripwrightv1.TallyBoard_Metric{Metric: &ripwrightv1.MetricSize{WidthMm: 3, LengthMm: 4, ThicknessMm: proto.Float64(5)}}})
	}
	jobs := &ripwrightv1.SequenceOrdersRequest{}
	for range 200 {
		j := &ripwrightv1.SequenceJob{}
		for range 8 {
			j.Arbors = append(j.Arbors, &ripwrightv1.ArborSetting{FixedMm: make([]float64, 32)})
		}
		jobs.Jobs = append(jobs.Jobs, j)
	}
	for _, m := range []proto.Message{&ripwrightv1.SolveBoardRequest{Board: stations(2000)}, &ripwrightv1.SolveBoardRequest{Order: order}, packs, jobs} {
		size, viaJSON, viaWire := both(t, m)
		if len(viaJSON)+len(viaWire) > 0 {
			t.Fatal(viaJSON, viaWire)
		}
		text, _ := protojson.Marshal(m)
		sizeJSON, _ := within.JSON(text, m.ProtoReflect().Descriptor())
		raw, _ := proto.Marshal(m)
		var before, after runtime.MemStats
		sink = nil
		for range 3 { // pooled memory needs two rounds
			runtime.GC()
		}
		runtime.ReadMemStats(&before)
		into := m.ProtoReflect().New().Interface()
		if err := proto.Unmarshal(raw, into); err != nil {
			t.Fatal(err)
		}
		runtime.GC()
		runtime.ReadMemStats(&after)
		sink = into
		runtime.KeepAlive(raw)
		runtime.KeepAlive(m)
		took := int64(after.HeapAlloc) - int64(before.HeapAlloc)
		if size < took*95/100 || size > 3*took || sizeJSON < took*95/100 || sizeJSON > 3*took {
			t.Errorf("%T of %d bytes takes %d; the estimates were %d for protobuf and %d for JSON", m, len(raw), took, size, sizeJSON)
		}
	}
}

// over reports whether a message has a list beyond its limit.
func over(m protoreflect.Message) (is bool) {
	s := shapeOf(m.Descriptor())
	m.Range(func(f protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		switch {
		case f.IsList():
			is = is || s.byNumber[f.Number()].over(v.List().Len())
			for i := 0; f.Message() != nil && i < v.List().Len(); i++ {
				is = is || over(v.List().Get(i).Message())
			}
		case f.Message() != nil:
			is = is || over(v.Message())
		}
		return !is
	})
	return is
}

// A body that can be read as JSON is refused if and only if one of its lists is too long.
func FuzzJSON(f *testing.F) {
	f.Add([]byte(`{"board":{"stations":[{"x_mm":1},{}],"defects":[{"kind":"a\"]}"}]},"order":{"items":[{"accepts":["a","b"]}]}}`))
	f.Add([]byte(`{"\u0062oard":{"stations":[` + strings.Repeat("{ } , ", 2000) + `{}]}}`))
	f.Add([]byte(`{"order":{"items":[{"accepts":[` + strings.Repeat(`"\\",`, 32) + `"x"]}]}}`))
	f.Add([]byte(`{"current_setting":{"blades_mm":[` + strings.Repeat(`1e0 ,`, 32) + `null]}}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		m := &ripwrightv1.SolveBoardRequest{}
		_, l := within.JSON(raw, m.ProtoReflect().Descriptor())
		if err := protojson.Unmarshal(raw, m); err == nil && over(m.ProtoReflect()) != (len(l) > 0) {
			t.Errorf("%s: %v", raw, l)
		}
	})
}

// A body refused as protobuf has a list that is too long, as far as it can be read.
func FuzzWire(f *testing.F) {
	for _, m := range []proto.Message{&ripwrightv1.SolveBoardRequest{Board: stations(3)}, &ripwrightv1.SolveBoardRequest{Board: stations(2001)}} {
		raw, err := proto.Marshal(m)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		m := &ripwrightv1.SolveBoardRequest{}
		_, l := within.Wire(raw, m.ProtoReflect().Descriptor())
		if err := proto.Unmarshal(raw, m); err == nil && len(l) > 0 && l[0].Path != "body" && !over(m.ProtoReflect()) {
			t.Errorf("%x: %v", raw, l)
		}
	})
}

func BenchmarkWire(b *testing.B) {
	m := &ripwrightv1.SolveBoardRequest{Board: stations(16), Order: &ripwrightv1.CutOrder{}}
	for range 10 {
		m.Order.Items = append(m.Order.Items, &ripwrightv1.Item{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 3}, Required: &ripwrightv1.Amount{}})
	}
	raw, err := proto.Marshal(m)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, l := within.Wire(raw, m.ProtoReflect().Descriptor()); l != nil {
			b.Fatal(l)
		}
	}
}
