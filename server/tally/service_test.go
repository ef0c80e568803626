package tally

import (
	"context"
	"math"
	"sync"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/workers"
)

// Every field reaches its place: the figures are worked out by hand.
func TestTallyPack(t *testing.T) {
	m := request(t)
	r, err := made(1).TallyPack(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if r.GetRule() != m.GetRule() || r.GetBasis() != m.GetBasis() || r.GetProfileWidth() != m.GetProfileWidth() ||
		!proto.Equal(r.GetAllowance(), m.GetAllowance()) || !proto.Equal(r.GetReadingErrors(), m.GetReadingErrors()) {
		t.Errorf("the answer lacks the terms: %v", r)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	p := r.GetPacks()[0]
	// Three boards of 6 in x 8 ft of 5/4 by end tally, gross: 3 x 4 x 1.25 / 1.08.
	near("tallied", p.GetTalliedBoardFeet(), 15/1.08)
	// Two of 6 in x 8 ft and a scan of 149 to 158 mm, whose mean is 6 in too.
	near("measured", p.GetMeasuredBoardFeet(), 15)
	near("difference", p.GetComparison().GetDifferenceBoardFeet(), 15-15/1.08)
	near("per cent", p.GetComparison().GetDifferencePercent(), 8)
	near("money", p.GetComparison().GetDifferenceMoney(), (15*1.08-15)*2)
	near("left", p.GetLeft().GetBoardFeet(), 5)
	near("its value", p.GetLeft().GetValue(), 5*1.08*2)
	if p.GetSpecies() != "white ash" || p.GetSupplier() != "Fenmoor" || p.GetGrade() != "FAS" || p.GetNominalThicknessIn() != 1.25 ||
		p.GetBoards() != 3 || p.GetTalliedBoards() != 3 || p.GetLeft().GetBoards() != 1 || len(p.GetFigures()) != 5 || len(p.GetFindings()) != 0 {
		t.Errorf("%v", p)
	}
	for _, f := range p.GetFigures() {
		near("gross of net", f.GetGrossBoardFeet(), 1.08*f.GetNetBoardFeet())
		near("cubic metres", f.GetCubicMetres(), 0.002359737216*f.GetNetBoardFeet())
	}
	// White ash, green to 8 %: tangential shrinkage 7.8 % x 22/30 (table 4-3).
	near("moisture", p.GetMoistureChange().GetTangentialPercent(), -7.8*22/30)
	near("flat-sawn", p.GetMoistureChange().GetFlatSawnBoardFeet(), 15*(1-0.078*22/30))

	// Four boards of 9 ft2, less 1.5 m2 that a run took.
	p = r.GetPacks()[1]
	near("after the run", p.GetLeft().GetBoardFeet(), 36-1.5/(0.3048*0.3048))
	if p.GetSpecies() != "Wishwood" || !p.GetLeft().GetFromTally() || p.GetLeft().GetBoards() != 2 || p.MeasuredBoardFeet != nil || p.Comparison != nil {
		t.Errorf("%v", p)
	}
	near("own figures", p.GetMoistureChange().GetTangentialPercent(), -8*22./30)

	if len(r.GetGroups()) != 3 || r.GetAll().GetPacks() != 3 || r.GetAll().GetComparedPacks() != 2 {
		t.Errorf("%v %v", r.GetGroups(), r.GetAll())
	}
	s := r.GetSuppliers()
	if len(s) != 2 || s[0].GetPacks() != 2 || s[0].SdPercent == nil || s[0].TrendPercentPerPack != nil || s[1].SdPercent != nil {
		t.Fatalf("%v", s)
	}
	near("mean", s[0].GetMeanPercent(), (8-1)/2.)
}

// A species known by name only is accepted; its change is reported as unknown.
func TestSpeciesWithoutFigures(t *testing.T) {
	m := request(t)
	m.Species[0] = &ripwrightv1.SpeciesShrinkage{Name: "wishwood"}
	r, err := made(1).TallyPack(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	c := r.GetPacks()[1].GetMoistureChange()
	if c.GetEquation() != ripwrightv1.MoistureEquation_MOISTURE_EQUATION_NONE || c.FlatSawnBoardFeet != nil || c.TangentialPercent != nil {
		t.Errorf("%v", c)
	}
}

// The same request gets the same answer from any number of callers at once, which wait
// for the workers that plans use too.
func TestManyCallers(t *testing.T) {
	s := made(2)
	want, err := s.TallyPack(t.Context(), request(t))
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 8 {
		m := request(t)
		all.Go(func() {
			for range 10 {
				if got, err := s.TallyPack(context.Background(), m); err != nil || !proto.Equal(got, want) {
					t.Errorf("%v %v", got, err)
				}
			}
		})
	}
	all.Wait()

	gone, cancel := context.WithCancel(t.Context())
	cancel()
	busy := workers.New(workers.Config{Workers: 1}, workers.Unwatched{}, time.Now)
	err = busy.Do(t.Context(), "plan", 0, func() error {
		if _, err := New(busy, "").TallyPack(t.Context(), request(t)); status.Code(err) != codes.ResourceExhausted {
			t.Errorf("while a plan keeps the only worker and no call may wait: %v", err)
		}
		if _, err := New(busy, "").TallyPack(gone, request(t)); status.Code(err) != codes.ResourceExhausted {
			t.Errorf("a caller that had left: %v", err)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if got, err := New(busy, "").TallyPack(t.Context(), request(t)); err != nil || !proto.Equal(got, want) {
		t.Errorf("%v %v", got, err)
	}
}

// made is a service with its own workers.
func made(n int) *Service {
	return New(workers.New(workers.Config{Workers: n, Waiting: 64}, workers.Unwatched{}, time.Now), "")
}
