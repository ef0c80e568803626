package tally

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/stat/distuv"
)

// Past is a pack accounted earlier: both figures by one rule and on one basis.
type Past struct {
	Supplier          string
	Tallied, Measured *big.Rat // board feet; Tallied above 0
}

// Accuracy is how accurate a supplier's tallies were over many packs: statistics of the
// differences, measured less tallied, in per cent of tallied. Every pack counts alike.
type Accuracy struct {
	Supplier string
	Packs    int // how many packs it is based on
	Mean     float64
	// Low and High are the confidence interval of the supplier's mean at RecordLevel, from
	// Student's t with Packs - 1 degrees of freedom. Both are Mean for 1 pack.
	Low, High float64
	// Spread is the standard deviation between packs (n - 1); 0 for one pack.
	Spread float64
	// Trend is the slope, in per cent per pack, of the least-squares line through the
	// differences in their order; TrendError is its standard error. Both are 0 for fewer
	// than 3 packs.
	Trend, TrendError float64
	// Tallied and Measured are the sums over all packs.
	Tallied, Measured *big.Rat
}

// accuracy gives one entry for each supplier, in the order in which they first
// appear: in the past packs, then in those of the call.
func (t *Terms) accuracy(packs []Pack, accounts []*Account) []*Accuracy {
	var all []*Accuracy
	found, percents := map[string]*Accuracy{}, map[string][]float64{}
	add := func(supplier string, tallied, measured *big.Rat) {
		a := found[supplier]
		if a == nil {
			a = &Accuracy{Supplier: supplier, Tallied: new(big.Rat), Measured: new(big.Rat)}
			found[supplier], all = a, append(all, a)
		}
		a.Packs++
		a.Tallied.Add(a.Tallied, tallied)
		a.Measured.Add(a.Measured, measured)
		d := new(big.Rat).Sub(measured, tallied)
		f, _ := d.Quo(d, tallied).Float64()
		percents[supplier] = append(percents[supplier], 100*f)
	}
	for _, p := range t.Past {
		add(p.Supplier, p.Tallied, p.Measured)
	}
	for i := range packs {
		if a := accounts[i]; a.Comparison != nil && a.Tallied.Sign() > 0 {
			add(packs[i].Supplier, a.Tallied, a.Measured)
		}
	}
	for _, a := range all {
		a.fit(percents[a.Supplier])
	}
	return all
}

// RecordLevel is the confidence level of Low and High: 95 %, as is common practice.
const RecordLevel = 0.95

// fit computes mean, interval, spread and trend.
func (a *Accuracy) fit(y []float64) {
	n := float64(len(y))
	for _, v := range y {
		a.Mean += v / n
	}
	a.Low, a.High = a.Mean, a.Mean
	middle := (n - 1) / 2
	var yy, xx, xy float64
	for i, v := range y {
		dx, dy := float64(i)-middle, v-a.Mean
		yy, xx, xy = yy+dy*dy, xx+dx*dx, xy+dx*dy
	}
	if n >= 2 {
		a.Spread = math.Sqrt(yy / (n - 1))
		wide := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1+RecordLevel)/2) * a.Spread / math.Sqrt(n)
		a.Low, a.High = a.Mean-wide, a.Mean+wide
	}
	if n >= 3 {
		a.Trend = xy / xx
		a.TrendError = math.Sqrt(max(yy-xy*xy/xx, 0) / (n - 2) / xx)
	}
}
