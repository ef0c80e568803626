package command

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// planning is the input of the commands about whole orders besides a saw: the lumber, and
// how to plan.
type planning struct {
	job
	lumberAt     string
	lumber       *ripwrightv1.Lumber
	lumberSource source
	set          *pflag.FlagSet
	limit        float64
}

// unhurried is the timeout of an answer about a whole order if --timeout is not set: the
// service itself ends it by then.
const unhurried = 10 * time.Minute

func (p *planning) flags(c *cobra.Command) {
	p.set = c.Flags()
	p.sawFlags(c)
	p.set.StringVar(&p.lumberAt, "lumber", "", "`file` with the lumber that can be bought or taken")
	p.set.Float64Var(&p.limit, "time-limit-ms", 0, "stop after this many `ms` with the best found so far; 0: a quote and an arbor after 30 s, values and sequences by the service's own limit")
	c.Long += "\n\nAn answer may take minutes: --timeout is 10m here unless you say otherwise."
}

// orderFlags are those of the commands about one order.
func (p *planning) orderFlags(c *cobra.Command, objective *string, setAside *float64) {
	p.flags(c)
	p.orderFlag(c)
	p.t.choice(c, objective, "objective", "cost", ripwrightv1.PlanObjective(0).Descriptor(), "what lumber is measured by")
	p.set.Float64Var(setAside, "set-aside-loss", 1, "`part` of a board's cost that is lost when it is set aside for another order; 1: none is set aside")
}

// load reads the files.
func (p *planning) load() error {
	if err := p.loadSaw(); err != nil {
		return err
	}
	if p.lumberAt == "" {
		return usage("no lumber is given; name its file: --lumber lumber.yaml")
	}
	f, err := p.t.open(p.lumberAt, files.Lumber)
	if err != nil {
		return err
	}
	p.lumber, p.lumberSource = &ripwrightv1.Lumber{}, source{f, 0}
	if !p.set.Changed("timeout") {
		p.t.timeout = unhurried
	}
	return failed(f.Into(0, p.lumber))
}

// where locates a field of a request, in a file or on the command line.
func (p *planning) where(more func(path string) (string, bool)) func(string) string {
	below := p.job.where(board{}, func(path string) (string, bool) {
		if rest, ok := strings.CutPrefix(path, "lumber."); ok {
			return p.lumberSource.at(rest), true
		}
		if more != nil {
			if says, ok := more(path); ok {
				return says, true
			}
		}
		name := path
		if at := strings.IndexAny(name, ".["); at >= 0 {
			name = name[:at]
		}
		if name = strings.ReplaceAll(name, "_", "-"); p.set.Lookup(name) != nil {
			return "--" + name, true
		}
		return "", false
	})
	return func(path string) string { return below(strings.TrimPrefix(path, "quote.")) }
}

// choice adds a flag that takes one of an enum's values in words.
func (t *tool) choice(c *cobra.Command, to *string, flag, standard string, e protoreflect.EnumDescriptor, usage string) {
	c.Flags().StringVar(to, flag, standard, usage+": `"+strings.Join(wordsOf(e), " or ")+"`")
	completes(c, flag, wordsOf(e)...)
}

// completes makes a shell complete a flag with these values.
func completes(c *cobra.Command, flag string, values ...string) {
	f := cobra.FixedCompletions(slices.Clone(values), cobra.ShellCompDirectiveNoFileComp)
	if err := c.RegisterFlagCompletionFunc(flag, f); err != nil {
		panic(err) // no such flag, or it has completions: every test finds out
	}
}

// wordsOf gives the values of an enum in words.
func wordsOf(e protoreflect.EnumDescriptor) (all []string) {
	for i := range e.Values().Len() {
		if v := e.Values().Get(i); v.Number() != 0 {
			all = append(all, file.Word(v))
		}
	}
	return all
}

// numbered finds the value of an enum that a flag names.
func numbered(flag, word string, e protoreflect.EnumDescriptor) (protoreflect.EnumNumber, error) {
	for i := range e.Values().Len() {
		if v := e.Values().Get(i); v.Number() != 0 && file.Word(v) == word {
			return v.Number(), nil
		}
	}
	return 0, usage("--%s is %q; write --%s %s", flag, word, flag, strings.Join(wordsOf(e), " or --"+flag+" "))
}

// wordOf gives a value of an enum in words.
func wordOf(v protoreflect.Enum) string {
	d := v.Descriptor().Values().ByNumber(v.Number())
	if d == nil {
		return fmt.Sprint(v.Number())
	}
	return strings.ReplaceAll(file.Word(d), "_", " ")
}

// impossible lists the items that the lumber cannot give.
func (t *tool) impossible(all []*ripwrightv1.ImpossibleItem) {
	for _, i := range all {
		fmt.Fprintf(t.out, "Cannot be made: %s; %s. The figures exclude it.\n", i.GetItemId(), i.GetSays())
	}
}

// unfilled is the error for an order of which not everything is possible.
func unfilled(impossible []*ripwrightv1.ImpossibleItem) error {
	if len(impossible) == 0 {
		return nil
	}
	return coded{fmt.Errorf("%s of the order cannot be made from this lumber on this saw", many(len(impossible), "item")), statusUnfilled}
}

// lots lists what is used of each lot.
func (t *tool) lots(all []*ripwrightv1.LotUse) error {
	w := newTable(t.out)
	fmt.Fprintln(w, "\nlot\tboards\tof its boards set aside")
	for _, l := range all {
		fmt.Fprintf(w, "%s\t%.1f\t%.1f %%\n", l.GetLotId(), l.GetBoards(), 100*l.GetSetAside())
	}
	return w.Flush()
}

// costed shows an amount in the objective's unit.
func (t *tool) costed(v float64, objective ripwrightv1.PlanObjective, currency string) string {
	switch objective {
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS:
		return fmt.Sprintf("%.1f boards", v)
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST:
		return "lumber for " + money(v, currency)
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_UNSPECIFIED, ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE:
	}
	return t.system().Area(v) + " of face"
}
