package marks

import "testing"

func TestNoTwoAlike(t *testing.T) {
	letters, looks := map[string]int{}, map[[2]int]int{}
	for i := range 500 { // as many items as an order may have
		m := Of(i)
		if at, ok := letters[m.Letter]; ok {
			t.Errorf("items %d and %d are both %s", at, i, m.Letter)
		}
		letters[m.Letter] = i
		look := [2]int{m.Tint, m.Pattern}
		if at, ok := looks[look]; ok && i < 96 {
			t.Errorf("items %d and %d look alike", at, i)
		}
		looks[look] = i
		if m.Tint >= len(tints) || m.Pattern >= len(patterns) {
			t.Fatalf("item %d has no look: %+v", i, m)
		}
	}
	for i := range 12 {
		if Of(i).Pattern != i {
			t.Errorf("item %d has pattern %d", i, Of(i).Pattern)
		}
	}
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "A2", 52: "A3"} {
		if got := Of(i).Letter; got != want {
			t.Errorf("item %d is %s, want %s", i, got, want)
		}
	}
}
