// Command trial draws days of orders and reports how soon the search for their sequence
// comes near its final result, and what simple rules find.
//
//	go run ./solver/planning/sequence/trial -seeds 50 -from 1 -orders 200 -short 5s -long 60s
//
// Searches are limited by work, at -rate per second, so that the same call prints the
// same on every machine; with -rate 0 by processor time, which the last columns report in
// any case. Days with odd seeds have due times, every third weights, every fourth orders
// that cannot start at once.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"syscall"
	"time"

	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/unit"
)

const minute = sequence.Time(60_000)

// day is an invented day from a seed.
func day(seed uint64, n int) *sequence.Problem {
	r := rand.New(rand.NewPCG(seed, 17)) // repeatable on purpose
	blades := 2 + r.IntN(5)
	places := blades + 3 + r.IntN(8)
	arbors := 1 + r.IntN(sequence.MaxSettings)
	setting := func() (b []unit.Length) {
		for _, i := range r.Perm(places)[:blades] {
			b = append(b, unit.Length(i))
		}
		for i := range b { // in ascending order
			for j := i; j > 0 && b[j] < b[j-1]; j-- {
				b[j], b[j-1] = b[j-1], b[j]
			}
		}
		for i := range b {
			b[i] *= 25_400 * unit.Micrometre
		}
		return b
	}
	p := &sequence.Problem{Current: setting(), Setup: sequence.Time(r.IntN(15)) * minute, PerBlade: sequence.Time(1+r.IntN(6)) * minute}
	tight := 0.3 + 0.7*r.Float64()
	var all sequence.Time
	for range n {
		var o sequence.Order
		run := 15 + r.IntN(60)
		for a := range arbors {
			o.Settings = append(o.Settings, sequence.Setting{Blades: setting(), Run: sequence.Time(run+a*r.IntN(5)) * minute})
		}
		all += o.Settings[0].Run + p.Setup/2 + 2*p.PerBlade
		p.Orders = append(p.Orders, o)
	}
	for i := range p.Orders {
		o := &p.Orders[i]
		if seed%2 == 1 && r.IntN(5) > 0 {
			o.Due = max(minute, sequence.Time(tight*r.Float64()*float64(all)))
		}
		if seed%3 == 0 {
			o.Weight = sequence.Time(1 + r.IntN(9))
		}
		if seed%4 == 3 && r.IntN(2) == 0 {
			o.Start = sequence.Time(r.Float64() * 0.5 * float64(all))
		}
	}
	return p
}

func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// within searches for a time or, at a rate other than 0, for the work of that time.
func within(p *sequence.Problem, limit time.Duration, rate float64) *sequence.Result {
	if rate > 0 {
		p.Work = int64(rate * limit.Seconds())
		return sequence.Solve(p, nil)
	}
	p.Work = 1 << 60
	begin := spent()
	p.Spent = func() float64 { return float64(spent()-begin) / float64(limit) }
	return sequence.Solve(p, func() bool { return spent()-begin >= limit })
}

// usualRate is the approximate work per second of one core: days of 200 orders were
// measured at 88 to 121 million per second of processor time.
const usualRate = 90e6

// over is how much worse one value is than another, as a fraction. If next to nothing is
// late, it is relative to an hour.
func over(v, least, floor sequence.Time) float64 {
	return float64(v-least) / float64(max(least, floor))
}

func main() {
	from := flag.Uint64("from", 1, "first seed")
	seeds := flag.Uint64("seeds", 50, "how many days")
	step := flag.Uint64("step", 1, "from one seed to the next: 2 draws days with due times alone, or without")
	orders := flag.Int("orders", 200, "orders a day")
	short := flag.Duration("short", 5*time.Second, "time of the short search")
	long := flag.Duration("long", time.Minute, "time of the long one")
	rate := flag.Float64("rate", usualRate, "the work that stands for a second; 0: processor time itself")

	flag.Parse()
	fmt.Printf("%27s%20s%20s%20s%20s%16s\n", "best construction", "short", "long", "bound", "short over long, %", "processor, s")
	fmt.Printf("%5s %6s%s\n", "seed", "arbors", strings.Repeat(fmt.Sprintf("%10s%10s", "late h", "all done"), 5))
	hours := func(t sequence.Time) float64 { return float64(t) / float64(60*minute) }
	worst, within1 := 0.0, 0
	for seed := *from; seed < *from+*seeds**step; seed += *step {
		p := day(seed, *orders)
		began := spent()
		a := within(p, *short, *rate)
		middle := spent()
		b := within(p, *long, *rate)
		ended := spent()
		late, done := over(a.Best.Weighted, b.Best.Weighted, 60*minute), over(a.Best.Total, b.Best.Total, minute)
		measure := done // of days on which both are equally late
		if a.Best.Weighted != b.Best.Weighted {
			measure = late
		}
		worst = max(worst, measure)
		if measure <= 0.01 {
			within1++
		}
		fmt.Printf("%5d %6d%10.2f%10.2f%10.2f%10.2f%10.2f%10.2f%10.2f%10.2f%10.3f%10.3f%8.1f%8.1f\n", seed, len(p.Orders[0].Settings),
			hours(a.Constructed.Weighted), hours(a.Constructed.Total), hours(a.Best.Weighted), hours(a.Best.Total), hours(b.Best.Weighted), hours(b.Best.Total),
			hours(b.LateBound), hours(b.TotalBound), 100*late, 100*done, (middle - began).Seconds(), (ended - middle).Seconds())
	}
	fmt.Printf("%d of %d days within 1 %% after %v of what %v finds; at worst %.2f %%\n", within1, *seeds, *short, *long, 100*worst)
}
