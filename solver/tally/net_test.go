package tally

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// 1000 board feet gross are 930 net at 7 %, and $1800 per thousand gross is $1935.48 net
// (a trade article of 2001; read). Conventions differ: subtract 7 %, divide by 0.93,
// divide by 0.92.
func TestGrossAndNet(t *testing.T) {
	seven := Allowance{Subtract, 7_000_000}
	want(t, "1000 gross", seven.Convert(big.NewRat(1000, 1), Gross, Net), 930, 1)
	want(t, "930 net", seven.Convert(big.NewRat(930, 1), Net, Gross), 1000, 1)
	want(t, "as it is", seven.Convert(big.NewRat(930, 1), Net, Net), 930, 1)
	price, _ := new(big.Rat).Quo(big.NewRat(1800, 1), seven.NetPerGross()).Float64()
	if math.Abs(price-1935.48) > 0.005 {
		t.Errorf("$1800 a thousand gross is $%.4f net", price)
	}
	eight := Allowance{Subtract, 8_000_000}
	want(t, "divide by 0.92", eight.Convert(big.NewRat(92, 1), Net, Gross), 100, 1)
	// The other convention, by its definition: 107 gross are 100 net.
	added := Allowance{Divide, 7_000_000}
	want(t, "107 gross", added.Convert(big.NewRat(107, 1), Gross, Net), 100, 1)
	want(t, "100 net", added.Convert(big.NewRat(100, 1), Net, Gross), 107, 1)

	// The usual range is 5 to 9 % (the same article).
	for _, p := range []int64{5, 9} {
		a := Allowance{Subtract, p * 1_000_000}
		want(t, fmt.Sprintf("%d %%", p), a.Convert(big.NewRat(1000, 1), Gross, Net), 1000-10*p, 1)
	}
}

// A change of basis changes board feet and the price per thousand, but no money: 1000
// board feet gross at $1800 are 930 net at $1935.48.
func TestValueKeepsItsBasis(t *testing.T) {
	terms := Terms{Basis: Net, Allowance: Allowance{Subtract, 7_000_000}}
	p := Pack{Thickness: unit.Inch, Price: 1800 * 1_000_000, Tally: &Supplied{Form: Total, BoardFeet: 1000 * 1_000_000, Basis: Gross}}
	r, err := terms.Account([]Pack{p})
	if err != nil {
		t.Fatal(err)
	}
	l := r.Accounts[0].Left
	want(t, "left, net", l.BoardFeet, 930, 1)
	want(t, "value", l.Value, 1800, 1)
	perThousand := new(big.Rat).Quo(l.Value, l.BoardFeet)
	if s := perThousand.Mul(perThousand, big.NewRat(1000, 1)).FloatString(2); s != "1935.48" {
		t.Errorf("net price $%s a thousand", s)
	}
}
