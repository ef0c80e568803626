package command

import (
	"strings"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
)

func schema(t *tool) *cobra.Command {
	var kinds []string
	for _, k := range files.Kinds {
		kinds = append(kinds, k.Name)
	}
	said := strings.Join(kinds, ", ")
	return &cobra.Command{
		Use:       "schema " + strings.Join(kinds, "|"),
		Short:     "Write the JSON Schema of a kind of file, for editors",
		ValidArgs: kinds,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				for _, k := range files.Kinds {
					if k.Name == args[0] {
						text, err := k.Schema()
						if err == nil {
							_, err = t.out.Write(text)
						}
						return failed(err)
					}
				}
			}
			return usage("name one kind of file: %s", said)
		},
	}
}
