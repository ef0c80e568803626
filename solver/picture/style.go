package picture

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/rip"
)

const fonts = `Helvetica, Arial, 'DejaVu Sans', sans-serif`

// patterns are the hatches, each by its own direction, and the grounds that make
// items differ where tints are lost. Every ground is light enough for black text.
const patterns = `<defs>
<pattern id="edging" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="9" height="9" fill="#efe6d8"/><line x1="0" y1="0" x2="0" y2="9" stroke="#7d6b52" stroke-width="2"/></pattern>
<pattern id="offcut" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="9" height="9" fill="#f6efe2"/><path d="M0 0V9M0 0H9" stroke="#7d6b52" stroke-width="1.8" fill="none"/></pattern>
<pattern id="endtrim" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect width="7" height="7" fill="#fbf7ef"/><line x1="0" y1="0" x2="0" y2="7" stroke="#8f8578" stroke-width="1.3"/></pattern>
<pattern id="loss" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#ffffff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#6d6d6d" stroke-width="1.6"/></pattern>
<pattern id="dots" width="14" height="14" patternUnits="userSpaceOnUse"><circle cx="3" cy="3" r="1.3" fill="#000" fill-opacity=".32"/><circle cx="10" cy="10" r="1.3" fill="#000" fill-opacity=".32"/></pattern>
<pattern id="grain" width="30" height="9" patternUnits="userSpaceOnUse"><path d="M0 2H18M12 6.5H30" stroke="#000" stroke-opacity=".26" stroke-width="1"/></pattern>
<pattern id="bars" width="16" height="8" patternUnits="userSpaceOnUse"><path d="M4 0V8" stroke="#000" stroke-opacity=".22" stroke-width="1"/></pattern>
</defs>
`

// What lies over a tint, by the item's place in the plan; empty: nothing.
var grounds = []string{"", "dots", "grain", "bars"}

// tints of the items, of different lightness so that grey tells neighbours apart.
var tints = []string{"#d5e6f0", "#f2d59b", "#b9d3bd", "#f3ecca", "#d9bfd2", "#c9dbe0", "#e2b79a", "#e6e6e6"}

// mark is how an item is told from the others.
type mark struct {
	letter string
	tint   string
	ground string
}

// marksOf gives the items of a plan their marks, in the order of the items.
func marksOf(p *rip.Problem, plan *rip.Plan) []mark {
	used := make([]bool, len(p.Items))
	for _, k := range plan.Pockets {
		if k.Item != rip.None {
			used[k.Item] = true
		}
	}
	marks, n := make([]mark, len(p.Items)), 0
	for i := range marks {
		if used[i] {
			marks[i] = mark{letterOf(n), tints[n%len(tints)], grounds[n%len(grounds)]}
			n++
		}
	}
	return marks
}

// letterOf counts A to Z and goes on with A2.
func letterOf(n int) string {
	letter := string(rune('A' + n%26))
	if n >= 26 {
		letter += fmt.Sprint(n/26 + 1)
	}
	return letter
}

// fill draws the ground of an item's strips.
func (d *drawing) fill(m mark, boxes string) {
	const outlined = ` stroke="#1c1c1c" stroke-width="1.2"`
	if boxes == "" {
		return
	}
	d.Path(boxes, `fill="`+m.tint+`"`+outlined)
	if m.ground != "" {
		d.Path(boxes, `fill="url(#`+m.ground+`)"`)
	}
}
