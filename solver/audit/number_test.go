package audit_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/rip"
)

// numbers lists all whole numbers that a value holds, with their names.
func numbers(v reflect.Value, name string) (all []reflect.Value, names []string) {
	more := func(v reflect.Value, n string) {
		a, b := numbers(v, name+n)
		all, names = append(all, a...), append(names, b...)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			more(v.Elem(), "")
		}
	case reflect.Slice:
		for i := range v.Len() {
			more(v.Index(i), "")
		}
	case reflect.Struct:
		for i := range v.NumField() {
			more(v.Field(i), "."+v.Type().Field(i).Name)
		}
	case reflect.Int, reflect.Int64, reflect.Uint64:
		return []reflect.Value{v}, []string{name}
	}
	return all, names
}

// changed adds to one number of a result, and reports whether that is a lie.
func changed(r *rip.Result, at uint64, by int64) (name string, lie bool) {
	before := r.Bound
	all, names := numbers(reflect.ValueOf(r), "")
	i := at % uint64(len(all))
	v := all[i]
	if v.CanUint() {
		v.SetUint(v.Uint() + uint64(by))
	} else {
		v.SetInt(v.Int() + by)
	}
	switch name = names[i]; name {
	case ".Work", ".Memory": // the effort of the search is not part of the plan
		return name, false
	case ".Bound.Hi", ".Bound.Lo": // a bound may be as high as it likes
		return name, r.Proven || r.Bound.Cmp(before) < 0 && r.Bound.Cmp(r.Best.Worth) < 0
	case ".EndedBy":
		return name, r.Proven
	case ".Best.Skew", ".RunnersUp.Skew": // without strips a board may lie either way
		for _, plan := range append(r.RunnersUp, r.Best) {
			if plan.StripArea == 0 {
				return name, false
			}
		}
	case ".Best.Pockets.Item", ".RunnersUp.Pockets.Item":
		return name, false // another item may do as well
	}
	return name, true
}

// Any change of any number of a result is found, however small.
func TestEveryNumber(t *testing.T) {
	seen := map[string]int{}
	for seed, done := int64(1), 0; done < instances(300); seed++ {
		p := drawn(seed)
		done++
		r, err := rip.Solve(p, rip.Options{RunnersUp: int(seed % 3), Work: 1 + seed%5*1000})
		if err != nil {
			t.Fatal(err)
		}
		d := rand.New(rand.NewPCG(uint64(seed), 9))
		for range 60 {
			_, s := copied(p, r)
			by := []int64{-1, 1, 1000, -1_000_000, d.Int64() - d.Int64()}[d.IntN(5)]
			name, lie := changed(s, d.Uint64(), by)
			if seen[name]++; lie && len(audit.Result(p, audit.Terms{}, s)) == 0 {
				t.Fatalf("seed %d: %s changed by %d is not found", seed, name, by)
			}
		}
	}
	if len(seen) < 40 {
		t.Errorf("only %d numbers were changed", len(seen))
	}
}

// FuzzResult changes a result in up to four places: no audit may panic, and a single
// change must not be missed.
func FuzzResult(f *testing.F) {
	f.Add(int64(2), uint64(1), int64(1), uint64(0), int64(0), uint64(0), int64(0))
	f.Add(int64(8), uint64(20), int64(-1)<<63, uint64(7), int64(1)<<62, uint64(31), int64(-5))
	f.Fuzz(func(t *testing.T, seed int64, a uint64, x int64, b uint64, y int64, c uint64, z int64) {
		p := drawn(seed)
		r, err := rip.Solve(p, rip.Options{RunnersUp: 2, Work: 100_000})
		if err != nil {
			t.Skip()
		}
		_, s := copied(p, r)
		name, lie := changed(s, a, x)
		found := audit.Result(p, audit.Terms{}, s)
		if lie && x != 0 && len(found) == 0 {
			t.Fatalf("%s changed by %d is not found", name, x)
		}
		if x == 0 && len(found) > 0 {
			t.Fatalf("nothing was changed, yet %v", found)
		}
		changed(s, b, y)
		changed(s, c, z)
		audit.Result(p, audit.Terms{Price: 1, Pace: terms(seed, s.Best.Worth).Pace}, s)
	})
}
