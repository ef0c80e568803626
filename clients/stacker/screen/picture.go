package screen

import (
	"fmt"
	"hash/fnv"
	"strconv"
	"strings"
	"time"

	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// picture is a view in the words and styles of the screen.
type picture struct {
	State     string  `json:"state"` // an outfeed.State, or stale
	Says      string  `json:"says"`  // in large letters if there are no strips
	Board     string  `json:"board"`
	Strips    []strip `json:"strips"`
	NextBoard string  `json:"next_board"`
	Next      []strip `json:"next"`
	Unit      string  `json:"unit"`
	FenceLeft bool    `json:"fence_left"`
}

// strip is one strip, from the fence outwards. Style distinguishes stacks: a colour and a
// pattern.
type strip struct {
	Width string `json:"width"` // as ordered, if that is known
	Is    string `json:"is"`    // the actual width, if that differs
	Full  string `json:"full"`  // how full its stack is, in per cent of what the order wants on it; empty: not known
	Item  string `json:"item"`
	Stack string `json:"stack"`
	Style int    `json:"style"`
	Waste bool   `json:"waste"`
}

// styles is the number of styles: 8 colours, with a pattern that differs from each to the
// next, so that neighbours differ even without colour.
const styles = 40

var says = map[outfeed.State]string{
	outfeed.Shown:    "", // the strips say it
	outfeed.NoLine:   "The line is not connected",
	outfeed.TwoLines: "More than one line is connected",
	outfeed.Waiting:  "Waiting for a board",
	outfeed.NotCut:   "The last board was not cut",
	outfeed.Unknown:  "This board is unknown",
}

func (c Config) picture(v outfeed.View, age time.Duration) picture {
	p := picture{State: string(v.State), Says: says[v.State], Board: v.BoardID, Unit: "mm", FenceLeft: c.FenceLeft,
		Strips: []strip{}, Next: []strip{}, NextBoard: v.NextID}
	if c.Inches {
		p.Unit = "in"
	}
	for _, s := range v.Next {
		p.Next = append(p.Next, c.strip(s))
	}
	if v.State != outfeed.Shown {
		return p
	}
	if age > c.Stale {
		p.State, p.Says, p.Board = "stale", fmt.Sprintf("No board for %d s", int(age.Seconds())), ""
		return p
	}
	for _, s := range v.Strips {
		p.Strips = append(p.Strips, c.strip(s))
	}
	if len(p.Strips) == 0 {
		p.Says = "No strips of this board to stack"
	}
	return p
}

func (c Config) strip(s outfeed.Strip) strip {
	p := strip{Width: c.width(s.WidthMM), Item: s.ItemID, Stack: s.Stack, Style: styleOf(s.Stack), Waste: s.Waste}
	if ordered := c.width(s.OrderedMM); s.OrderedMM > 0 && ordered != p.Width {
		p.Width, p.Is = ordered, p.Width
	}
	if s.FullKnown {
		p.Full = strconv.Itoa(int(100*s.Full + 1e-9)) // 100 only when it is full
	}
	return p
}

// width writes a width without its unit: to a tenth of a millimetre, or to the nearest
// 64th of an inch. More cannot be read from metres away.
func (c Config) width(mm float64) string {
	if !c.Inches {
		return strings.TrimSuffix(strconv.FormatFloat(mm, 'f', 1, 64), ".0")
	}
	const inch64 = 25_400_000 / 64
	l, ok := unit.FromMM(mm)
	if !ok {
		return "?"
	}
	near := (l + inch64/2) / inch64 * inch64
	return strings.TrimSuffix(people.Inch.Exact(near), "in")
}

// styleOf gives a stack its style: by its number if it is one, so that stacks 1 to 40 all
// differ, otherwise by its name. It is the same after a restart.
func styleOf(stack string) int {
	if stack == "" {
		return -1
	}
	if n, err := strconv.ParseUint(stack, 10, 31); err == nil {
		return int((n + styles - 1) % styles)
	}
	h := fnv.New32a()
	_, _ = h.Write([]byte(stack)) // a hash never fails
	return int(h.Sum32() % styles)
}
