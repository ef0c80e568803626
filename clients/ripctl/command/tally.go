package command

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/tallycsv"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// tallyTables are the tables that --table selects.
var tallyTables = map[string]func(io.Writer, *ripwrightv1.TallyPackResponse) error{
	"packs":     tallycsv.WriteAccounts,
	"groups":    tallycsv.WriteGroups,
	"suppliers": tallycsv.WriteSuppliers,
	"findings":  tallycsv.WriteFindings,
}

func tally(t *tool) *cobra.Command {
	var rule, table, currency string
	c := &cobra.Command{
		Use:   "tally packs.csv",
		Short: "Compare packs as measured with their suppliers' tallies",
		Long: `Reads packs from a table made for a spreadsheet, - for standard input, and says
what each holds by the rule of the trade that governs, how that compares with the
supplier's tally, whether it can be measurement error, and what is left. The
columns are described in clients/tally.md, under "Packs as CSV".

With --csv it writes one of four tables: packs, groups (by species, grade and
thickness), suppliers or findings (boards that are short, narrow or scant).`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("%s takes one file of packs; write %s packs.csv", c.CommandPath(), c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			by, err := ruleNamed(rule)
			if err != nil {
				return err
			}
			if tallyTables[table] == nil {
				return usage("--table is %q; write one of %s", table, strings.Join(slices.Sorted(maps.Keys(tallyTables)), ", "))
			}
			sheet, err := t.sheet(args[0])
			if err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			where := func(path string) string {
				row, column, ok := sheet.Locate(path)
				if !ok {
					return path
				}
				return strings.TrimSuffix(fmt.Sprintf("%s: row %d, column %s", args[0], row, column), ", column ")
			}
			a, err := call(c.Context(), t, ripwrightv1.NewTallyServiceClient(s.conn).TallyPack,
				&ripwrightv1.TallyPackRequest{Packs: sheet.Packs, Rule: by, Currency: currency}, where)
			if err != nil {
				return err
			}
			switch {
			case t.json:
				err = t.writeJSON(a)
			case t.csv:
				err = tallyTables[table](t.out, a)
			default:
				err = t.tallied(a)
			}
			return failed(err)
		},
	}
	c.Flags().StringVar(&rule, "rule", "surface measure", "`rule` that governs: "+strings.Join(rules(), ", "))
	c.Flags().StringVar(&table, "table", "packs", "`table` that --csv writes: packs, groups, suppliers or findings")
	c.Flags().StringVar(&currency, "currency", "", "`code` of the currency that prices are in; without it the service's")
	completes(c, "rule", rules()...)
	completes(c, "table", slices.Sorted(maps.Keys(tallyTables))...)
	return c
}

// sheet reads a file of packs.
func (t *tool) sheet(name string) (*tallycsv.Sheet, error) {
	from := t.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, input("%w", err)
		}
		defer func() { _ = f.Close() }() // only read
		from = f
	}
	s, err := tallycsv.Read(from)
	var wrong tallycsv.Errors
	switch {
	case errors.As(err, &wrong):
		lines := make([]string, len(wrong))
		for i, e := range wrong {
			lines[i] = name + ": " + e.Error()
		}
		return nil, input("this cannot be read as packs; nothing of it was taken:\n%s", strings.Join(lines, "\n"))
	case err != nil:
		return nil, input("%s: %w", name, err)
	}
	return s, nil
}

// rules lists the rules' names.
func rules() (all []string) {
	for n := range int32(len(ripwrightv1.TallyRule_name)) {
		if name := tallycsv.RuleName(ripwrightv1.TallyRule(n)); name != "" {
			all = append(all, name)
		}
	}
	return all
}

func ruleNamed(name string) (ripwrightv1.TallyRule, error) {
	for n := range int32(len(ripwrightv1.TallyRule_name)) {
		if r := ripwrightv1.TallyRule(n); name != "" && tallycsv.RuleName(r) == name {
			return r, nil
		}
	}
	return 0, usage("--rule is %q; write one of %s", name, strings.Join(rules(), ", "))
}

// moneyBounds bounds the price of a pack's difference, given its readings; nil if not
// known. A board foot has one price in a pack, on whatever basis the answer is: that of
// the difference.
func moneyBounds(p *ripwrightv1.PackAccount) (least, most *float64) {
	c := p.GetComparison()
	if c == nil || c.DifferenceMoney == nil || c.GetDifferenceBoardFeet() == 0 || p.MinBoardFeet == nil || p.MaxBoardFeet == nil {
		return nil, nil
	}
	price := c.GetDifferenceMoney() / c.GetDifferenceBoardFeet()
	low, high := (p.GetMinBoardFeet()-p.GetTalliedBoardFeet())*price, (p.GetMaxBoardFeet()-p.GetTalliedBoardFeet())*price
	return &low, &high
}

// tallied writes packs for people.
func (t *tool) tallied(a *ripwrightv1.TallyPackResponse) error {
	w := newTable(t.out)
	// Money has columns of its own if there is any.
	priced := slices.ContainsFunc(a.GetPacks(), func(p *ripwrightv1.PackAccount) bool {
		return p.GetComparison().GetDifferenceMoney() != 0 || p.GetLeft().GetValue() != 0
	})
	row := func(cells, difference []string, left string) {
		if priced {
			cells = append(slices.Insert(cells, len(cells)-2, difference...), left)
		}
		fmt.Fprintln(w, strings.Join(cells, "\t"))
	}
	row([]string{"pack", "supplier", "species", "boards", "measured bd ft", "at least", "at most", "tallied bd ft", "difference", "verdict", "left bd ft"},
		[]string{"in money", "at least", "at most"}, "left, worth")
	feet := func(v *float64) string {
		if v == nil {
			return "-"
		}
		return fmt.Sprintf("%.1f", *v)
	}
	worth := func(v *float64, signed bool) string {
		switch {
		case v == nil:
			return "-"
		case signed && *v > 0:
			return "+" + money(*v, a.GetCurrency())
		}
		return money(*v, a.GetCurrency())
	}
	for _, p := range a.GetPacks() {
		difference, verdict, left := "-", "-", "-"
		var inMoney, leftValue *float64
		least, most := moneyBounds(p)
		if c := p.GetComparison(); c != nil {
			difference, inMoney = fmt.Sprintf("%+.1f", c.GetDifferenceBoardFeet()), c.DifferenceMoney
			verdict = strings.ToLower(strings.TrimPrefix(c.GetVerdict().String(), "TALLY_VERDICT_"))
		}
		if l := p.GetLeft(); l != nil {
			left, leftValue = fmt.Sprintf("%.1f", l.GetBoardFeet()), l.Value
		}
		row([]string{p.GetPackId(), p.GetSupplier(), p.GetSpecies(), fmt.Sprint(p.GetBoards()), feet(p.MeasuredBoardFeet), feet(p.MinBoardFeet), feet(p.MaxBoardFeet),
			feet(p.TalliedBoardFeet), difference, verdict, left}, []string{worth(inMoney, true), worth(least, true), worth(most, true)}, worth(leftValue, false))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, p := range a.GetPacks() {
		if n := len(p.GetFindings()); n > 0 {
			fmt.Fprintf(t.out, "Pack %s: %s beyond the limits; --csv --table findings lists them\n", p.GetPackId(), many(n, "board"))
		}
	}
	basis := strings.ToLower(strings.TrimPrefix(a.GetBasis().String(), "TALLY_BASIS_"))
	_, err := fmt.Fprintf(t.out, "By %s, %s.\n", tallycsv.RuleName(a.GetRule()), basis)
	return err
}
