package picture

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/picture/marks"
	"github.com/ripwright/ripwright/solver/rip"
)

const fonts = `Helvetica, Arial, 'DejaVu Sans', sans-serif`

// patterns are the hatches of waste, each with its own direction. Every background is
// light enough for black text.
const patterns = `<defs>
<pattern id="edging" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="9" height="9" fill="#efe6d8"/><line x1="0" y1="0" x2="0" y2="9" stroke="#7d6b52" stroke-width="2"/></pattern>
<pattern id="offcut" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="9" height="9" fill="#f6efe2"/><path d="M0 0V9M0 0H9" stroke="#7d6b52" stroke-width="1.8" fill="none"/></pattern>
<pattern id="endtrim" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect width="7" height="7" fill="#fbf7ef"/><line x1="0" y1="0" x2="0" y2="7" stroke="#8f8578" stroke-width="1.3"/></pattern>
<pattern id="loss" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#ffffff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#6d6d6d" stroke-width="1.6"/></pattern>
</defs>
`

// itemPatterns defines those of the items' patterns that a picture needs.
func (d *drawing) itemPatterns() {
	d.Out.WriteString("<defs>\n")
	for i, p := range marks.Patterns() {
		if !slices.ContainsFunc(d.marks, func(m *marks.Mark) bool { return m != nil && m.Pattern == i }) {
			continue
		}
		fmt.Fprintf(&d.Out, `<pattern id="%s" width="%d" height="%d" patternUnits="userSpaceOnUse">`, p.Name, p.Wide, p.High)
		if p.Stroke != "" {
			fmt.Fprintf(&d.Out, `<path d="%s" stroke="#000" stroke-opacity=".42" stroke-width="1.4" fill="none"/>`, p.Stroke)
		}
		if p.Fill != "" {
			fmt.Fprintf(&d.Out, `<path d="%s" fill="#000" fill-opacity=".34"/>`, p.Fill)
		}
		d.Out.WriteString("</pattern>\n")
	}
	d.Out.WriteString("</defs>\n")
}

// marksOf gives the items of a plan their marks, by index of the item; nil: the plan has
// none of that item.
func marksOf(p *rip.Problem, plan *rip.Plan) []*marks.Mark {
	all := make([]*marks.Mark, len(p.Items))
	for _, k := range plan.Pockets {
		if k.Item != rip.None && all[k.Item] == nil {
			m := marks.Of(k.Item)
			all[k.Item] = &m
		}
	}
	return all
}

// fill draws the background of an item's strips.
func (d *drawing) fill(m *marks.Mark, boxes string) {
	const outlined = ` stroke="#1c1c1c" stroke-width="1.2"`
	if boxes == "" {
		return
	}
	d.Path(boxes, `fill="`+marks.Tints()[m.Tint]+`"`+outlined)
	if p := marks.Patterns()[m.Pattern]; p.Stroke != "" || p.Fill != "" {
		d.Path(boxes, `fill="url(#`+p.Name+`)"`)
	}
}
