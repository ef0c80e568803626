package run

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"github.com/ripwright/ripwright/solver/unit"
)

// Totals are those of a run so far. All but Planned and Refused count confirmed boards.
type Totals struct {
	Planned, Refused int32
	Outcomes         [Outcomes]int32

	Tallies []Tally // sorted, by order, item and stack
	Packs   []Pack  // sorted

	Face, Strip, EndTrim, Offcut, Edging, Kerf, Other Sum

	Volume Sum           // face times thickness, if measured
	Cycle  time.Duration // of boards whose cycle is known

	Times *Times     `json:",omitempty"` // nil: not known
	Bays  *BayTotals `json:",omitempty"` // nil: the outfeed has no bays, or no board has come yet
}

// Tally is what went to one stack of one item.
type Tally struct {
	Key
	Stack  string
	Strips int32
	Length unit.Run
	Area   Sum
}

// Pack is what was cut of one pack.
type Pack struct {
	ID     string
	Boards int32
	Face   Sum
	Volume Sum
}

func (t *Totals) add(s *Settled) {
	t.Outcomes[s.Outcome]++
	if !s.Outcome.Cut() {
		return
	}
	if t.Times != nil && t.Times.Told {
		t.Times.Cut++
	}
	p := &s.Way.Parts
	for _, part := range []struct {
		to *Sum
		a  unit.Area
	}{
		{&t.Face, s.Held.Face}, {&t.Strip, p.Strip}, {&t.EndTrim, p.EndTrim}, {&t.Offcut, p.Offcut},
		{&t.Edging, p.Edging}, {&t.Kerf, p.Kerf}, {&t.Other, p.Other},
	} {
		part.to.AddArea(part.a)
	}
	t.Volume.AddProduct(int64(s.Held.Face), int64(s.Held.Thickness))
	t.Cycle += s.Way.Cycle
	if s.Held.Free != nil {
		t.bays().free(&s.Held)
	}
	for i := range s.Way.Strips {
		t.strip(s.Held.key(&s.Way.Strips[i]), &s.Way.Strips[i])
	}
	k := t.pack(s.Held.Pack)
	k.Boards++
	k.Face.AddArea(s.Held.Face)
	k.Volume.AddProduct(int64(s.Held.Face), int64(s.Held.Thickness))
}

func (t *Totals) strip(k Key, s *Strip) {
	at := Tally{Key: k, Stack: s.Stack}
	i, ok := slices.BinarySearchFunc(t.Tallies, at, func(a, b Tally) int {
		return cmp.Or(a.compare(b.Key), cmp.Compare(a.Stack, b.Stack))
	})
	if !ok {
		t.Tallies = slices.Insert(t.Tallies, i, at)
	}
	y := &t.Tallies[i]
	y.Strips++
	y.Length += s.Length
	y.Area.AddArea(s.Area())
}

// pack gives the line of a pack. Once there are MaxPacks, new ones share one.
func (t *Totals) pack(id string) *Pack {
	at := func() (int, bool) {
		return slices.BinarySearchFunc(t.Packs, id, func(p Pack, id string) int { return cmp.Compare(p.ID, id) })
	}
	i, ok := at()
	if !ok && len(t.Packs) >= MaxPacks {
		id = OtherPacks
		i, ok = at()
	}
	if !ok {
		t.Packs = slices.Insert(t.Packs, i, Pack{ID: id})
	}
	return &t.Packs[i]
}

func path(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }
