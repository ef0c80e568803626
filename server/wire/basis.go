package wire

import (
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
)

// per has the schema's words for the value bases, the default first.
var per = map[order.Basis]ripwrightv1.ValuePer{
	order.PerArea:   ripwrightv1.ValuePer_VALUE_PER_AREA,
	order.PerLength: ripwrightv1.ValuePer_VALUE_PER_LENGTH,
	order.PerPiece:  ripwrightv1.ValuePer_VALUE_PER_STRIP,
}

// basis reads what a value is counted per; the default is area.
func (r *reader) basis(p *place, v ripwrightv1.ValuePer) order.Basis {
	if v == ripwrightv1.ValuePer_VALUE_PER_UNSPECIFIED {
		return order.PerArea
	}
	var words []string
	for b := order.Basis(0); b.Known(); b++ {
		if per[b] == v {
			return b
		}
		words = append(words, per[b].String())
	}
	last := len(words) - 1
	r.faults.Because(fault.UnknownWord, p.path("value_per"), "is %d; must be %s or %s", v, strings.Join(words[:last], ", "), words[last])
	return order.PerArea
}
