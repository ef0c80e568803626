package main

import (
	"fmt"
	"os"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
)

// curves prints worth against time for each group of cases, and for all together.
func curves(seed uint64, boards int, best time.Duration, names, by string, filter map[string]*string) error {
	wanted, err := selection(filter)
	if err != nil {
		return err
	}
	arbors, err := selected(seed, names)
	if err != nil {
		return err
	}
	key, err := broad.Key(by)
	if err != nil {
		return err
	}
	all, groups, order := &broad.Curve{}, map[string]*broad.Curve{}, []string(nil)
	for _, a := range arbors {
		scale, err := broad.Calibrate(solvers[0])
		if err != nil {
			return err
		}
		for n := range boards {
			c := broad.Draw(seed, a, n, wanted)
			if c == nil {
				continue
			}
			k := key(c)
			one, err := broad.Stopped(solvers[0], solvers[0], c.Problem, scale, best)
			switch {
			case err != nil:
				return fmt.Errorf("%s: %w", c.Name(), err)
			case one == nil:
				continue
			}
			if groups[k] == nil {
				groups[k] = &broad.Curve{}
				order = append(order, k)
			}
			groups[k].Add(one)
			all.Add(one)
			if one.Parts[1] < 0.9 {
				fmt.Printf("low: %s: %.3f after %v, %.3f after %v: %+v\n", c.Name(), one.Parts[1], broad.Moments[1], one.Parts[3], broad.Moments[3], c.Features)
			}
		}
	}
	for _, k := range order {
		fmt.Printf("== %s\n", k)
		groups[k].Print(os.Stdout)
	}
	if len(order) > 1 {
		fmt.Println("== all")
		all.Print(os.Stdout)
	}
	return nil
}
