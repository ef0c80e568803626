package run

import (
	"encoding/json"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// happened is one event of a line, for the second set of books.
type happened struct {
	at    Moment // of messages with a time
	said  bool
	stop  bool
	why   string
	start bool
	cut   bool
}

// recount adds up a day from its list alone, from the message of that index on: minute by
// minute whether the line ran, stops by when they began.
func recount(day []happened, from int) (running, standing Moment, cut int32, stops map[string][2]Moment) {
	stops = map[string][2]Moment{}
	var now Moment
	told := false
	at := -1 // index of the present stop
	reason := map[int]string{}
	spent := map[int]Moment{}
	var begun []int
	for i, h := range day {
		if h.said {
			if told && i >= from {
				if at >= 0 {
					spent[at] += h.at - now
					standing += h.at - now
				} else {
					running += h.at - now
				}
			}
			now, told = h.at, true
		}
		switch {
		case h.stop && at < 0:
			at = i
			reason[i] = h.why
			begun = append(begun, i)
		case h.stop:
			reason[at] = h.why
		case h.start:
			at = -1
		case h.cut && told && i >= from:
			cut++
		}
	}
	for _, i := range begun {
		n := Moment(0)
		if i >= from {
			n = 1
		}
		if n+spent[i] == 0 {
			continue
		}
		s := stops[reason[i]]
		stops[reason[i]] = [2]Moment{s[0] + n, s[1] + spent[i]}
	}
	return running, standing, cut, stops
}

// On any day, the books are those of somebody who records everything and adds it up at
// the end, for the run and since the mark; and they survive being written and read back.
func TestTimesOfADay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &Run{Sequence: 1, InFlight: 1}
		var day []happened
		var now Moment
		mark := 0
		for range rapid.IntRange(1, 40).Draw(t, "things") {
			r.Sequence++
			var h happened
			if rapid.IntRange(0, 2).Draw(t, "says the time") > 0 {
				now += Moment(rapid.IntRange(0, 5_000_000).Draw(t, "passes"))
				h.said, h.at = true, now
				if r.Before(now) {
					t.Fatal("time went back")
				}
				r.Pass(now)
			}
			_, stands := r.Standing()
			switch rapid.IntRange(0, 4).Draw(t, "what") {
			case 0:
				h.stop, h.why = true, rapid.SampledFrom([]string{"", "jam", "blades", "break"}).Draw(t, "why")
				if r.Stop(h.why) == stands {
					t.Fatal("a stop does not know whether the line ran")
				}
			case 1:
				if _, _, ok := r.Restart(); ok != stands {
					t.Fatal("a restart does not know whether the line stood")
				}
				h.start = stands
			case 2:
				h.cut = true
				for _, s := range r.sums() {
					s.add(&Settled{Outcome: AsPlanned})
				}
			case 3:
				if rapid.Bool().Draw(t, "marked") {
					mark = len(day) + 1
					r.Mark()
				}
			}
			day = append(day, h)
			text, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			r = &Run{}
			if err := json.Unmarshal(text, r); err != nil || len(r.Faults()) > 0 {
				t.Fatalf("%s: %v %v", text, err, r.Faults())
			}
		}
		for from, of := range map[int]*Totals{0: &r.Totals, mark: r.SinceMark()} {
			running, standing, cut, stops := recount(day, from)
			got := of.Times
			if got == nil {
				got = &Times{}
			}
			all := map[string][2]Moment{}
			for _, s := range got.Stops {
				all[s.Reason] = [2]Moment{Moment(s.Times), s.Stood}
			}
			if got.Running != running || got.Standing != standing || got.Cut != cut || !reflect.DeepEqual(all, stops) {
				t.Fatalf("from %d: %+v\nwant running %d, standing %d, cut %d, %v", from, got, running, standing, cut, stops)
			}
		}
	})
}

// Reasons beyond the limit share one, with the stops and the time of all of them.
func TestManyReasons(t *testing.T) {
	r := &Run{Sequence: 1, InFlight: 1}
	r.Pass(0)
	for i := range MaxReasons + 20 {
		r.Stop(string(rune('A' + i)))
		r.Pass(Moment(i+1) * 10)
		r.Restart()
	}
	last := r.Totals.Times.Stops
	i, ok := r.Totals.Times.find(OtherReasons)
	if !ok || len(last) != MaxReasons+1 || last[i].Times != 20 || last[i].Stood != 200 || len(r.Faults()) > 0 {
		t.Errorf("%+v %v", last, r.Faults())
	}
}

// A state with impossible times is refused.
func TestTimesFaults(t *testing.T) {
	made := func() *Run {
		r := &Run{Sequence: 9, InFlight: 1}
		r.Pass(10)
		r.Stop("jam")
		r.Mark()
		r.Pass(30)
		return r
	}
	if l := made().Faults(); len(l) > 0 {
		t.Fatal(l)
	}
	for name, spoil := range map[string]func(*Run){
		"a clock below 0":           func(r *Run) { r.Clock.At = -1 },
		"a clock beyond all":        func(r *Run) { r.Clock.At = MaxMoment + 1 },
		"more time than there was":  func(r *Run) { r.Totals.Times.Running = 1 },
		"less than nothing":         func(r *Run) { r.Totals.Times.Running = -1 },
		"time without a clock":      func(r *Run) { r.Clock = nil },
		"a clock without times":     func(r *Run) { r.Since.Times = nil },
		"stops that do not add up":  func(r *Run) { r.Totals.Times.Stops[0].Stood-- },
		"a stop of no reason known": func(r *Run) { r.Totals.Times.Reason = "x" },
		"a stop longer than all":    func(r *Run) { r.Since.Times.Stood = 21 },
		"a reason twice":            func(r *Run) { r.Totals.Times.Stops = append(r.Totals.Times.Stops, Stop{Reason: "jam"}) },
		"doubts of no board":        func(r *Run) { r.Doubted = []Doubted{{Sequence: 10}} },
		"a doubt of no kind":        func(r *Run) { r.Doubted = []Doubted{{Sequence: 1, Doubts: []Doubt{{Kind: 99}}}} },
		"too many doubts":           func(r *Run) { r.Doubted = []Doubted{{Sequence: 1, Doubts: make([]Doubt, mostDoubts+1)}} },
	} {
		r := made()
		if spoil(r); len(r.Faults()) == 0 {
			t.Errorf("%s is taken", name)
		}
	}
}

// Doubts are remembered of the last boards with any, however many there are.
func TestDoubted(t *testing.T) {
	r := &Run{Sequence: 101}
	for i := range int32(100) {
		r.doubted(i+1, make([]Doubt, i%7))
		if !r.doubtsBounded() {
			t.Fatalf("board %d: %v", i+1, r.Doubted)
		}
	}
	if len(r.Doubts(99)) != 0 || len(r.Doubts(97)) != 5 || len(r.Doubts(2)) != 0 {
		t.Errorf("%v", r.Doubted)
	}
	if r.doubted(101, make([]Doubt, 64)); len(r.Doubts(101)) != mostOfBoard || !r.doubtsBounded() {
		t.Errorf("%d", len(r.Doubts(101)))
	}
}
