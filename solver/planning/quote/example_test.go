package quote_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/quote"
)

// Nineteen runs of an order took these numbers of boards. The mean is the expectation for
// one more run, which lies within the interval with probability 0.9.
func ExamplePredict() {
	boards := []float64{41, 43, 40, 44, 42, 45, 41, 43, 42, 46, 44, 42, 43, 41, 47, 43, 42, 44, 43}
	i := quote.Predict(boards, 0.9)
	fmt.Printf("%.1f boards, %.0f to %.0f\n", i.Expected, i.Low, i.High)
	// Output:
	// 42.9 boards, 40 to 47
}
