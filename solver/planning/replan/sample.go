package replan

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/wood"
)

// Limits of a sample. They keep it small enough to be part of every answer of a line, and
// planning from it fast.
const (
	MaxBoards   = published.MostEntriesOfValuePlanningExpected // boards in it
	MaxStations = 24                                           // of a board in it
	MaxDefects  = 24                                           // of a board in it
	// Memory is roughly the number of latest boards from which a full sample is drawn, so
	// that changes in the lumber show. That a single odd pack does not dominate is ensured
	// by averaging values, which works better if samples soon have other boards.
	Memory = 2 * MaxBoards
)

// Sample is boards that represent those to come: as many of the boards seen as it has
// room for, each of the last Memory with the same probability. It depends only on the
// boards and their sequence.
//
// Invariants, checked by Faults:
//  1. 0 <= Expected <= len(Boards) <= MaxBoards, and Seen >= 0.
//  2. Every board is right and has at most MaxStations and MaxDefects.
type Sample struct {
	Seen int64
	// Expected of the boards, the first ones, were not seen but announced. Boards seen
	// replace them once there is no free place.
	Expected int
	Boards   []wood.Board
}

// Expect puts announced boards, MaxBoards at most, into the sample.
func (s *Sample) Expect(boards []wood.Board) {
	for i := range boards[:min(len(boards), MaxBoards)] {
		s.Boards = append(s.Boards, Thin(&boards[i]))
		s.Expected++
	}
}

// Add takes in a board that was seen.
func (s *Sample) Add(b *wood.Board) {
	s.Seen++
	switch {
	case len(s.Boards) < MaxBoards:
		s.Boards = append(s.Boards, Thin(b))
	case s.Expected > 0:
		s.Expected--
		s.Boards[s.Expected] = Thin(b)
	default:
		if at := scatter(uint64(s.Seen)) % uint64(min(s.Seen, Memory)); at < MaxBoards {
			s.Boards[at] = Thin(b)
		}
	}
}

// scatter spreads numbers evenly over 64 bits: the finalizer of SplitMix64 (Steele, Lea,
// Flood 2014), its constants from memory. All that matters is that places are evenly
// spread.
func scatter(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// Thin gives a board with no more stations and defects than a sample keeps: stations
// evenly spaced from end to end, and the largest defects.
func Thin(b *wood.Board) wood.Board {
	out := *b
	if n := len(b.Stations); n > MaxStations {
		out.Stations = make([]wood.Station, MaxStations)
		for i := range out.Stations {
			out.Stations[i] = b.Stations[i*(n-1)/(MaxStations-1)]
		}
		if !hasWood(out.Stations) {
			out.Stations[0] = b.Stations[slices.IndexFunc(b.Stations, wide)]
			out.Stations = out.Stations[:1]
		}
	} else {
		out.Stations = slices.Clone(b.Stations)
	}
	out.Defects = slices.Clone(b.Defects)
	if len(out.Defects) > MaxDefects {
		slices.SortStableFunc(out.Defects, func(a, b wood.Defect) int { return cmp.Compare(face(b), face(a)) })
		out.Defects = out.Defects[:MaxDefects:MaxDefects]
	}
	return out
}

func wide(s wood.Station) bool { return s.Near < s.Far }

func hasWood(s []wood.Station) bool { return slices.ContainsFunc(s, wide) }

func face(d wood.Defect) float64 { return (d.ToX - d.FromX).MM() * (d.ToY - d.FromY).MM() }
