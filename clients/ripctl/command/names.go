package command

import (
	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
)

// nameField is the field that names things of a kind.
var nameField = map[string]string{files.Saws.Name: "name", files.Boards.Name: "board_id"}

// completesNames makes a shell complete a flag with the names in files of a kind; in
// gives the files once the rest of the command line is read.
func completesNames(c *cobra.Command, flag string, k files.Kind, in func(args []string) []string) {
	err := c.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) (all []string, _ cobra.ShellCompDirective) {
		for _, name := range in(args) {
			if name == "" || name == "-" {
				continue // completion must not wait for standard input
			}
			f, err := files.Open(name, k, nil)
			if err != nil {
				continue // the command will report what is wrong
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
