package quote_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
)

// Uniform numbers from 0 to 1 are drawn until their sum exceeds 30, as boards are cut
// until an order is filled. By renewal theory that takes 60 2/3 numbers on average, with
// a sum of 30 1/3 (Feller, An Introduction to Probability Theory and Its Applications,
// volume 2, 1971, chapter XI; from memory). The controlled mean of 19 trials is unbiased,
// and comes far nearer.
func TestControlled(t *testing.T) {
	const trials, repeats, full = 19, 4_000, 30
	r := lumber.Random(5, 0)
	var plain, controlled, sums [repeats]float64
	for i := range repeats {
		var n, sum, luck, both [trials]float64
		for j := range trials {
			for sum[j] <= full {
				u := r.Float64()
				n[j], sum[j], luck[j] = n[j]+1, sum[j]+u, luck[j]+u-0.5
			}
			both[j] = n[j] + 3*sum[j]
		}
		plain[i], controlled[i] = stat.Mean(n[:], nil), quote.Controlled(n[:], luck[:])
		sums[i] = quote.Controlled(sum[:], luck[:])
		if got, want := quote.Controlled(both[:], luck[:]), controlled[i]+3*sums[i]; math.Abs(got-want) > 1e-9*want {
			t.Fatalf("%v of the sum, %v of its parts", got, want)
		}
	}
	for name, c := range map[string]struct {
		got  []float64
		want float64
	}{"mean": {plain[:], 2*full + 2.0/3}, "without luck": {controlled[:], 2*full + 2.0/3}, "what they come to": {sums[:], full + 1.0/3}} {
		mean, chance := stat.Mean(c.got, nil), stat.StdDev(c.got, nil)/math.Sqrt(repeats)
		t.Logf("%s: %.4f, wanted %.4f, %.4f off by chance", name, mean, c.want, chance)
		if math.Abs(mean-c.want) > 4*chance {
			t.Errorf("%s: %v, wanted %v", name, mean, c.want)
		}
	}
	if part := stat.Variance(controlled[:], nil) / stat.Variance(plain[:], nil); part > 0.1 {
		t.Errorf("the variance is %v of the mean's", part)
	}
}

// With many runs the controlled means of a quote are those of boards of the lumber's mean
// face; with few runs they are the plain means.
func TestQuotesAreControlled(t *testing.T) {
	p := mill(6)
	o := options(12, 3)
	o.Policies = []quote.Policy{quote.Yield}
	o.Values.Gap, o.Values.Rounds = 0.05, 2 // the values need not be optimal here
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	out := &q.Outcomes[0]
	if face := out.Boards.Expected * p.Lots[0].From.MeanFace(); math.Abs(face/out.Face.Expected-1) > 1e-9 {
		t.Errorf("%v boards have %v m2, not %v", out.Boards.Expected, face, out.Face.Expected)
	}
	if c := out.Cost.Expected; math.Abs(c-3*out.BoardFeet.Expected) > 1e-9*c || math.Abs(c-out.Lots[0].Cost.Expected) > 1e-9*c {
		t.Errorf("%v board feet at 3 cost %v, the lot's %v", out.BoardFeet.Expected, c, out.Lots[0].Cost.Expected)
	}
	if plain := stat.Mean(out.Costs, nil); plain == out.Cost.Expected || math.Abs(plain/out.Cost.Expected-1) > 0.1 {
		t.Errorf("cost %v, of the runs as they came %v", out.Cost.Expected, plain)
	}
	o.Runs = 7
	if q, err = quote.Solve(p, o); err != nil {
		t.Fatal(err)
	}
	if out, plain := &q.Outcomes[0], stat.Mean(q.Outcomes[0].Costs, nil); math.Abs(out.Cost.Expected-plain) > 1e-9*plain {
		t.Errorf("of 7 runs the cost is %v, not %v", out.Cost.Expected, plain)
	}
}
