package command

import (
	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
)

// nameField has what things of a kind are called by.
var nameField = map[string]string{files.Saws.Name: "name", files.Boards.Name: "board_id"}

// completesNames makes a shell complete a flag with the names in files of a kind,
// which in gives once the rest of the line is read.
func completesNames(c *cobra.Command, flag string, k files.Kind, in func(args []string) []string) {
	err := c.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) (all []string, _ cobra.ShellCompDirective) {
		for _, name := range in(args) {
			if name == "" || name == "-" {
				continue // a shell must not wait for standard input
			}
			f, err := files.Open(name, k, nil)
			if err != nil {
				continue // the command will say what is wrong
			}
			field := k.Message.Fields().ByTextName(nameField[k.Name])
			for _, m := range f.Messages {
				all = append(all, m.Get(field).String())
			}
		}
		return all, cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // no such flag: every test finds out
	}
}
