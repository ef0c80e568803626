//go:build verify

package values_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/lpmodel"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/unit"
)

// small is an order on boards of a few widths, few enough that all cuttings can be
// listed.
type small struct {
	widths, pieces, dues []int64
	boards, counts       []int64 // widths of the kinds, and the number of boards of each
	lost                 int64   // millionths
	objective            values.Objective
}

func draw(r *rand.Rand) small {
	c := small{objective: values.Boards, lost: values.Everything}
	if r.IntN(2) == 0 {
		c.objective = values.Face
	}
	if r.IntN(3) == 0 {
		c.lost = 100_000 * r.Int64N(10)
	}
	for range 2 + r.IntN(3) {
		c.widths = append(c.widths, 20+r.Int64N(60))
		c.pieces = append(c.pieces, 3+r.Int64N(30))
		due := int64(0)
		if r.IntN(3) > 0 {
			due = []int64{4, 9, 15, 30}[r.IntN(4)]
		}
		c.dues = append(c.dues, due)
	}
	for range 1 + r.IntN(3) {
		c.boards = append(c.boards, 80+r.Int64N(60))
		c.counts = append(c.counts, 1+r.Int64N(3))
	}
	return c
}

func (c *small) problem() *values.Problem {
	p := &values.Problem{Saw: knife(), Objective: c.objective, Lost: c.lost, Lots: []values.Lot{{ID: "lot"}}}
	for i, w := range c.widths {
		p.Items = append(p.Items, due(pieces(unit.Length(w), c.pieces[i]), fmt.Sprint(i), c.dues[i]))
	}
	for t, w := range c.boards {
		p.Lots[0].Kinds = append(p.Lots[0].Kinds, lumber.Kind{Board: board(1000, unit.Length(w)), Count: c.counts[t]})
	}
	return p
}

// cuttings lists all ways to cut up to two strips from a board: the items, -1 for none.
func (c *small) cuttings(width int64) (all [][2]int) {
	all = append(all, [2]int{-1, -1})
	for i, a := range c.widths {
		if a <= width {
			all = append(all, [2]int{i, -1})
		}
		for j := range i + 1 {
			if a+c.widths[j] <= width {
				all = append(all, [2]int{i, j})
			}
		}
	}
	return all
}

// write writes the whole programme with these dues: every cutting of every kind of board
// in every term is a variable. With fewest it minimizes the boards up to the last due.
func (c *small) write(t *testing.T, name string, rows []int, dues map[int]int64, ends []int64, fewest bool) string {
	var obj, rest strings.Builder
	terms := len(ends) + 1
	total := int64(0)
	for _, n := range c.counts {
		total += n
	}
	made := make([]strings.Builder, len(c.widths))
	for s := range terms {
		for k, w := range c.boards {
			cost := 1.0
			if c.objective == values.Face && !fewest {
				cost = float64(w) / 1000
			}
			lost := float64(c.lost) / values.Everything
			if fewest {
				lost = 1
			}
			fmt.Fprintf(&rest, " mix_%d_%d: ", s, k)
			for i, cut := range append(c.cuttings(w), [2]int{-2, -2}) {
				x, part := fmt.Sprintf("x_%d_%d_%d", s, k, i), cost
				if cut[0] == -2 { // set aside
					part = cost * lost
				}
				fmt.Fprintf(&obj, " + %.9f %s", part, x)
				fmt.Fprintf(&rest, " + %s", x)
				for at, item := range cut {
					times := 1
					switch {
					case cut[0] == cut[1] && at == 1:
						continue
					case cut[0] == cut[1]:
						times = 2
					}
					if item >= 0 && (dues[item] == 0 || s == len(ends) && dues[item] > ends[len(ends)-1] || s < len(ends) && dues[item] >= ends[s]) {
						fmt.Fprintf(&made[item], " + %d %s", times, x)
					}
				}
			}
			fmt.Fprintf(&rest, " - %.12f n_%d = 0\n", float64(c.counts[k])/float64(total), s)
		}
	}
	for _, item := range rows {
		fmt.Fprintf(&rest, " row_%d:%s >= %d\n", item, made[item].String(), c.pieces[item])
	}
	for s, end := range ends {
		fmt.Fprintf(&rest, " end_%d:", s)
		for q := range s + 1 {
			fmt.Fprintf(&rest, " + n_%d", q)
		}
		fmt.Fprintf(&rest, " <= %d\n", end)
	}
	file := filepath.Join(t.TempDir(), name+".lp")
	text := "Minimize\n obj:" + obj.String() + " + 0 whole\nSubject To\n" + rest.String() + " w: whole <= 1\nGeneral\n whole\nEnd\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// Three general solvers agree with planning on the least lumber under dues, and on the
// earliest possible date of a due that cannot be kept.
func TestDuesReference(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	late, with := 0, 0
	for n := range 120 {
		c := draw(r)
		p := c.problem()
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-8})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Impossible) > 0 {
			continue
		}
		if got.Bound > got.Cost*(1+1e-9) || !got.Proven {
			t.Errorf("case %d: bound %v, cost %v, proven %v after %d rounds: %+v", n, got.Bound, got.Cost, got.Proven, got.Rounds, c)
		}
		dues, all := map[int]int64{}, []int{}
		for i, d := range c.dues {
			dues[i] = d
			all = append(all, i)
		}
		for _, l := range got.Late {
			late++
			dues[l.Row] = l.Least
		}
		for _, s := range lpmodel.Solvers[:2] {
			if !s.Installed() {
				t.Fatalf("%s is not installed", s.Name)
			}
			// A late due moves to its earliest possible one, as rip planning does; dues in
			// their original order may then coincide.
			file := c.write(t, fmt.Sprint("cost", n), all, dues, sorted(dues), false)
			want, _, err := s.Solve(file)
			if err != nil {
				t.Fatalf("case %d, %s: %v %+v late %v", n, s.Name, err, c, got.Late)
			}
			if math.Abs(want-got.Cost) > 1e-5*want {
				t.Errorf("case %d: %s %.8f, planned %.8f, bound %.8f: %+v late %v", n, s.Name, want, got.Cost, got.Bound, c, got.Late)
			}
			with += len(sorted(dues))
			// One board earlier is too early: checked by the fewest boards that fill the row
			// and all that is due before it.
			for _, l := range got.Late {
				var rows []int
				before := map[int]int64{}
				for i, d := range c.dues {
					if d > 0 && d <= c.dues[l.Row] {
						rows = append(rows, i)
					}
					if d > 0 && d < c.dues[l.Row] {
						before[i] = dues[i]
					}
				}
				least, _, err := s.Solve(c.write(t, fmt.Sprint("least", n), rows, before, sorted(before), true))
				if err != nil {
					t.Fatal(err)
				}
				if math.Ceil(least-1e-3) != float64(l.Least) {
					t.Errorf("case %d: %s fewest %.6f, planned %d: %+v", n, s.Name, least, l.Least, c)
				}
			}
		}
	}
	t.Logf("%d dues late", late)
	if late < 20 || with < 100 {
		t.Errorf("only %d late and %d dues", late, with)
	}
}

func sorted(dues map[int]int64) (all []int64) {
	seen := map[int64]bool{}
	for _, d := range dues {
		if d > 0 && !seen[d] {
			seen[d] = true
			all = append(all, d)
		}
	}
	for i := range all {
		for j := range i {
			if all[i] < all[j] {
				all[i], all[j] = all[j], all[i]
			}
		}
	}
	return all
}
