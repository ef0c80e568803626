package command

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// instructions are the operator's instructions for boards, by flags.
type instructions struct {
	force, forbid, lock []string
	yield               float64
	blades              []string // flags of the locked blades, in order
	fence               string
}

func (n *instructions) flags(f *pflag.FlagSet) {
	f.StringArrayVar(&n.force, "force", nil, "cut at least this many strips of an item, `ITEM=STRIPS`, or one of ITEM; may be given again")
	f.StringArrayVar(&n.forbid, "forbid", nil, "cut no strip of an `item`; may be given again")
	f.StringArrayVar(&n.lock, "lock", nil, "keep an `axis` from moving: fence or the number of a blade from 1, where it stands or as in fence=153.6mm, 3=260mm; may be given again")
	f.Float64Var(&n.yield, "least-yield", 0, "do not feed a board whose plan yields less than this `percent` of its face; 0: feed any")
}

// read gives the instructions; nil if there are none.
func (n *instructions) read() (*ripwrightv1.Instructions, error) {
	if len(n.force)+len(n.forbid)+len(n.lock) == 0 && n.yield == 0 {
		return nil, nil
	}
	m := &ripwrightv1.Instructions{Forbidden: n.forbid}
	for _, text := range n.force {
		f := &ripwrightv1.ForcedItem{ItemId: text}
		if at := strings.LastIndex(text, "="); at >= 0 { // an item's name may contain one too
			strips, err := strconv.ParseInt(text[at+1:], 10, 32)
			if err != nil || strips < 1 {
				return nil, usage("--force %s: %q is not a number of strips; write ITEM=STRIPS, such as stile=2", text, text[at+1:])
			}
			f.ItemId, f.Strips = text[:at], proto.Int32(int32(strips))
		}
		m.Forced = append(m.Forced, f)
	}
	for _, text := range n.lock {
		if err := n.locks(m, text); err != nil {
			return nil, err
		}
	}
	if n.yield < 0 || n.yield > 100 {
		return nil, usage("--least-yield is %g; must be 0 to 100 percent", n.yield)
	}
	if n.yield > 0 {
		m.MinYieldRatio = proto.Float64(n.yield / 100)
	}
	return m, nil
}

func (n *instructions) locks(m *ripwrightv1.Instructions, text string) error {
	name, position, given := strings.Cut(text, "=")
	var at *float64
	if given {
		l, err := people.Length(position)
		if err != nil {
			return usage("--lock %s: %w", text, err)
		}
		at = proto.Float64(l.MM())
	}
	if name == "fence" {
		if m.Fence != nil {
			return usage("--lock %s: the fence is already locked", text)
		}
		m.Fence, n.fence = &ripwrightv1.FenceLock{AtMm: at}, text
		return nil
	}
	i, err := strconv.ParseInt(name, 10, 32)
	if err != nil || i < 1 {
		return usage("--lock %s: %q is not an axis; write fence or the number of a blade, counted from 1 at the datum", text, name)
	}
	m.Blades, n.blades = append(m.Blades, &ripwrightv1.BladeLock{Blade: int32(i - 1), AtMm: at}), append(n.blades, text)
	return nil
}

// where tells which flag a field of the instructions came from.
func (n *instructions) where(path string) (string, bool) {
	rest, ok := strings.CutPrefix(path, "instructions.")
	if !ok {
		return "", false
	}
	i := 0
	of := func(list, flag string, texts []string) (string, bool) {
		if _, err := fmt.Sscanf(rest, list+"[%d]", &i); err != nil || i >= len(texts) {
			return "", false
		}
		return flag + " " + texts[i] + ":", true
	}
	switch {
	case strings.HasPrefix(rest, "fence"):
		return "--lock " + n.fence + ":", true
	case strings.HasPrefix(rest, "min_yield_ratio"):
		return "--least-yield", true
	}
	for _, l := range []struct {
		list, flag string
		texts      []string
	}{{"forced", "--force", n.force}, {"forbidden", "--forbid", n.forbid}, {"blades", "--lock", n.blades}} {
		if says, ok := of(l.list, l.flag, l.texts); ok {
			return says, true
		}
	}
	return "", false
}

// instructed prints what instructions cost.
func (t *tool) instructed(m *ripwrightv1.InstructionsOutcome) {
	if m == nil {
		return
	}
	cost := func(v, most float64) string {
		if most > v {
			return fmt.Sprintf("%.2f, at most %.2f", v, most)
		}
		return fmt.Sprintf("%.2f", v)
	}
	fmt.Fprintf(t.out, "The instructions cost %s: the best plan without them is worth %.2f.\n", cost(m.GetCost(), m.GetCostBound()), m.GetFree().GetWorth())
	if len(m.GetEach()) < 2 {
		return
	}
	for _, e := range m.GetEach() {
		says := "not searched: the search had reached its limits"
		switch {
		case e.Cost != nil && !e.GetKept():
			says = "cannot be kept on this board, as far as was searched"
		case e.Cost != nil:
			says = "costs " + cost(e.GetCost(), e.GetCostBound())
		}
		fmt.Fprintf(t.out, "  %s alone: %s\n", strings.TrimPrefix(e.GetPath(), "instructions."), says)
	}
}

// fed reports whether a board goes through the saw by its plan: not if the plan violates
// the instructions.
func fed(d *ripwrightv1.DoNotFeed) bool {
	switch d.GetReason() {
	case ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_NOT_AS_INSTRUCTED, ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_LEAST_YIELD:
		return false
	default:
		return true
	}
}
