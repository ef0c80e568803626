// Package cases has requests on which the search was once wrong, those in small small
// enough for brute force, and reads them without the service: a field unknown here is an
// error, and a test of the service's own reader checks that both read the same.
package cases

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"path"
	"strings"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

//go:embed small/*.json whole/*.json
var files embed.FS

// Case is a request about one board.
type Case struct {
	Name    string
	JSON    []byte // as it is sent
	Problem rip.Problem
	Options rip.Options
}

// Small gives the cases that brute force solves, by name.
func Small() ([]Case, error) { return in(files, "small/*.json") }

// Whole gives the other cases, by name.
func Whole() ([]Case, error) { return in(files, "whole/*.json") }

// in reads the files that match a pattern.
func in(files fs.FS, pattern string) ([]Case, error) {
	names, err := fs.Glob(files, pattern)
	if err != nil {
		return nil, err
	}
	all := make([]Case, len(names))
	for i, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		c := &all[i]
		c.Name, c.JSON = strings.TrimSuffix(path.Base(name), ".json"), text
		if c.Problem, c.Options, err = read(text); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return all, nil
}

type travel struct {
	Min float64 `json:"min_mm"`
	Max float64 `json:"max_mm"`
}

type amount struct {
	Length *float64 `json:"length_m"`
	Area   *float64 `json:"area_m2"`
	Pieces *int64   `json:"pieces"`
}

type request struct {
	Board struct {
		ID       string  `json:"board_id"`
		Length   float64 `json:"length_mm"`
		Straight bool    `json:"near_edge_straight"`
		Stations []struct {
			X    float64 `json:"x_mm"`
			Near float64 `json:"near_mm"`
			Far  float64 `json:"far_mm"`
		} `json:"stations"`
		Defects []struct {
			FromX float64 `json:"from_x_mm"`
			ToX   float64 `json:"to_x_mm"`
			FromY float64 `json:"from_y_mm"`
			ToY   float64 `json:"to_y_mm"`
			Kind  string  `json:"kind"`
		} `json:"defects"`
	} `json:"board"`
	Saw struct {
		Name   string  `json:"name"`
		Kerf   float64 `json:"kerf_mm"`
		Step   float64 `json:"step_mm"`
		Skew   float64 `json:"max_skew_mm_per_m"`
		Fence  travel  `json:"fence"`
		Blades []struct {
			Fixed  float64 `json:"fixed_mm"`
			Moving *travel `json:"moving"`
		} `json:"blades"`
		Gap   float64  `json:"min_gap_mm"`
		Trim  *float64 `json:"edge_trim_mm"`
		Least float64  `json:"min_strip_width_mm"`
	} `json:"saw"`
	Stands struct {
		Fence  *float64  `json:"fence_mm"`
		Blades []float64 `json:"blades_mm"`
	} `json:"current_setting"`
	Order struct {
		ID    string `json:"order_id"`
		Items []item `json:"items"`
	} `json:"order"`
	Options struct {
		RunnersUp int     `json:"runners_up"`
		TimeLimit float64 `json:"time_limit_ms"` // left to the caller
	} `json:"options"`
}

type item struct {
	ID    string  `json:"item_id"`
	Width float64 `json:"width_mm"`
	Range *struct {
		Min float64 `json:"min_mm"`
		Max float64 `json:"max_mm"`
	} `json:"range"`
	Value     float64  `json:"value"`
	Per       string   `json:"value_per"`
	Required  *amount  `json:"required"`
	Made      *amount  `json:"made"`
	Tolerance float64  `json:"tolerance_mm"`
	Least     float64  `json:"min_length_mm"`
	Piece     float64  `json:"piece_length_mm"`
	Accepts   []string `json:"accepts"`
}

func read(text []byte) (p rip.Problem, o rip.Options, err error) {
	var m request
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err = d.Decode(&m); err != nil {
		return p, o, err
	}
	b := &m.Board
	p.Board = wood.Board{Length: mm(b.Length), StraightNear: b.Straight}
	for _, s := range b.Stations {
		p.Board.Stations = append(p.Board.Stations, wood.Station{X: mm(s.X), Near: mm(s.Near), Far: mm(s.Far)})
	}
	for _, d := range b.Defects {
		p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: mm(d.FromX), ToX: mm(d.ToX), FromY: mm(d.FromY), ToY: mm(d.ToY), Kind: d.Kind})
	}
	s := &m.Saw
	p.Saw = saw.Saw{Kerf: mm(s.Kerf), Step: mm(s.Step), Fence: s.Fence.read(), Gap: mm(s.Gap), Trim: mm(s.Kerf), LeastStrip: mm(s.Least), Skew: mm(s.Skew)}
	if s.Trim != nil {
		p.Saw.Trim = mm(*s.Trim)
	}
	for _, b := range s.Blades {
		if b.Moving == nil {
			p.Saw.Blades = append(p.Saw.Blades, saw.Blade{At: mm(b.Fixed)})
		} else {
			p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true, Travel: b.Moving.read()})
		}
	}
	if at := m.Stands.Fence; at != nil {
		p.Saw.Fence.Current = mm(*at)
	}
	for i, at := range m.Stands.Blades {
		if b := &p.Saw.Blades[i]; b.Moving {
			b.Travel.Current = mm(at)
		}
	}
	for i := range m.Order.Items {
		it, err := m.Order.Items[i].read()
		if err != nil {
			return p, o, err
		}
		p.Items = append(p.Items, it)
	}
	o.RunnersUp = m.Options.RunnersUp
	return p, o, nil
}

func (t *travel) read() saw.Travel {
	return saw.Travel{Min: mm(t.Min), Max: mm(t.Max), Current: mm(t.Min)}
}

func (m *item) read() (order.Item, error) {
	it := order.Item{ID: m.ID, Min: mm(m.Width), Max: mm(m.Width), Value: whole(m.Value, 1e6),
		Tolerance: mm(m.Tolerance), LeastLength: mm(m.Least), PieceLength: mm(m.Piece), Accepts: m.Accepts}
	if m.Range != nil {
		it.Random, it.Min, it.Max = true, mm(m.Range.Min), mm(m.Range.Max)
	}
	bases := map[string]order.Basis{"": order.PerArea, "VALUE_PER_AREA": order.PerArea, "VALUE_PER_LENGTH": order.PerLength, "VALUE_PER_STRIP": order.PerPiece}
	var known bool
	if it.Basis, known = bases[m.Per]; !known {
		return it, fmt.Errorf("item %s: value_per %q", m.ID, m.Per)
	}
	it.Measure, it.Required = m.Required.read()
	_, it.Made = m.Made.read()
	return it, nil
}

func (m *amount) read() (order.Measure, int64) {
	switch {
	case m == nil:
		return order.Unlimited, 0
	case m.Length != nil:
		return order.ByLength, whole(*m.Length, 1e6)
	case m.Area != nil:
		return order.ByArea, whole(*m.Area, 1e12)
	}
	return order.ByPieces, *m.Pieces
}

func mm(v float64) unit.Length { return unit.Length(whole(v, 1e6)) }

func whole(v, scale float64) int64 { return int64(math.Round(v * scale)) }
