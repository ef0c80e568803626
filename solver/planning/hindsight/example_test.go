package hindsight_test

import (
	"errors"
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/hindsight"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/quote"
)

// How many of the boards that came an order would have needed, had they all been known
// beforehand.
func ExampleLeast() {
	p := invented.Order(1, 6) // an invented order of about 6 boards
	came := quote.Boards(p, 1, 0, 20)
	least, err := hindsight.Least(&p.Values, came, nil)
	fmt.Println(least, "of", len(came), err)
	_, err = hindsight.Least(&p.Values, came[:least-1], nil)
	fmt.Println(errors.Is(err, hindsight.ErrTooFew))
	// Output:
	// 6 of 20 <nil>
	// true
}
