package sequence

import (
	"bufio"
	"bytes"
	_ "embed"
	"strconv"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/testdata/brief"
)

// Instances 1, 4, 6, 9, 11, 13, 15, 16 and 17 of the 125 of total weighted tardiness on one
// machine with 40 jobs in Beasley's OR-Library (J. E. Beasley, "OR-Library: distributing
// test problems by electronic mail", Journal of the Operational Research Society 41(11),
// 1990, 1069-1072; file wt40), with their optima (file wtopt40; Crauwels, Potts and Van
// Wassenhove, "Local search heuristics for the single machine total weighted tardiness
// scheduling problem", INFORMS Journal on Computing 10(3), 1998, 341-350). Files read in a
// public copy. A line has the instance's number and optimum, then processing times,
// weights and due times.
//
//go:embed testdata/wt40.txt
var wt40 []byte

// Orders on the same arbor are weighted tardiness without setups: the optima are reached,
// and no bound is above them.
func TestPublishedOptima(t *testing.T) {
	brief.Skip(t)
	n := 0
	for lines := bufio.NewScanner(bytes.NewReader(wt40)); lines.Scan(); n++ {
		var v []Time
		for _, f := range strings.Fields(lines.Text()) {
			x, err := strconv.Atoi(f)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, Time(x))
		}
		if len(v) != 2+3*40 {
			t.Fatalf("instance %d has %d numbers", v[0], len(v))
		}
		p := &Problem{Work: 15_000_000}
		for i := range 40 {
			p.Orders = append(p.Orders, Order{Settings: []Setting{{Run: v[2+i]}}, Weight: v[42+i], Due: v[82+i]})
		}
		r := Solve(p, nil)
		check(t, p, r)
		if r.Best.Weighted != v[1] || r.LateBound > v[1] {
			t.Errorf("instance %d: %d late by weight, bound %d; the optimum is %d", v[0], r.Best.Weighted, r.LateBound, v[1])
		}
	}
	if n != 9 {
		t.Errorf("%d instances", n)
	}
}
