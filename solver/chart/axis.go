package chart

import (
	"math"
	"strconv"
)

// Axis is the quantity along one side of a plot.
type Axis struct {
	Says string
	// From and To are its ends; equal: the values decide.
	From, To float64
	// Show formats a number; nil: as many digits as the axis needs.
	Show func(float64) string
}

// scale puts numbers on a stretch of pixels.
type scale struct {
	from, to float64
	step     float64
	at, size px // size may be below 0
	show     func(float64) string
}

// scaled gives an axis its scale. values are those that must fit.
func (a Axis) scaled(at, size px, values []float64) scale {
	s := scale{from: a.From, to: a.To, at: at, size: size, show: a.Show}
	given := s.from != s.to
	if !given {
		s.from, s.to = reach(values)
	}
	s.step = step(s.to - s.from)
	if !given {
		s.from, s.to = math.Floor(s.from/s.step+nearly)*s.step, math.Ceil(s.to/s.step-nearly)*s.step
	}
	if s.show == nil {
		digits := max(0, int(math.Ceil(-math.Log10(s.step)-nearly)))
		long := max(math.Abs(s.from), math.Abs(s.to)) >= 1e7 || digits > 5
		s.show = func(v float64) string {
			if long {
				return strconv.FormatFloat(v, 'g', 4, 64)
			}
			return strconv.FormatFloat(v, 'f', digits, 64)
		}
	}
	return s
}

// nearly is how far, in steps, a number may be from a whole one and still count as whole.
const nearly = 1e-9

// reach gives the least and the greatest of values, a little apart if they are equal.
func reach(values []float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		from, to = min(from, v), max(to, v)
	}
	if from > to {
		return 0, 1
	}
	if from == 0 && to == 0 {
		return 0, 1
	}
	if room := math.Abs(to) / 10; to-from <= room*nearly {
		from, to = from-room, to+room
	}
	return from, to
}

// most is how many steps an axis has at most.
const most = 8

// step is the least of 1, 2 and 5 times a power of ten that divides a range into no
// more than most steps.
func step(span float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(span/most)))
	for _, times := range []float64{1, 2, 5} {
		if span/(times*power) <= most+nearly {
			return times * power
		}
	}
	return 10 * power
}

// place is the coordinate of a number.
func (s *scale) place(v float64) px {
	return s.at + px(math.Round((v-s.from)/(s.to-s.from)*float64(s.size)))
}

// ticks are the numbers that are written at the axis.
func (s *scale) ticks() (all []float64) {
	first := math.Ceil(s.from/s.step - nearly)
	for i := 0.0; i <= most+1 && (first+i)*s.step <= s.to+s.step*nearly; i++ {
		all = append(all, (first+i)*s.step)
	}
	return all
}
