package command

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

// The files of an invented mill.
//
//go:embed mill
var mill embed.FS

func demo(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "demo folder",
		Short: "Write a demo mill's files to start from",
		Long: `Writes the files of an invented mill into a folder: a saw, orders, lumber, boards,
settings and what became of boards. Existing files are left as they are.`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one folder to write to, such as ripctl demo mill")
			}
			return t.writeMill(args[0])
		},
	}
}

func (t *tool) writeMill(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return input("%w", err)
	}
	entries, err := mill.ReadDir("mill")
	if err != nil {
		return failed(err)
	}
	for _, e := range entries {
		text, err := mill.ReadFile("mill/" + e.Name())
		if err != nil {
			return failed(err)
		}
		name := filepath.Join(dir, e.Name())
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			fmt.Fprintf(t.out, "%s already exists\n", name)
			continue
		} else if err != nil {
			return input("%w", err)
		}
		_, err = f.Write(text)
		if err := errors.Join(err, f.Close()); err != nil {
			return failed(err)
		}
		fmt.Fprintln(t.out, name)
	}
	fmt.Fprintf(t.out, "\nWith a service running (go run ./server), rip the pack with\n"+
		"ripctl solve --saw-file %[1]s/saws.yaml --order %[1]s/order.yaml %[1]s/boards.jsonl\n", filepath.ToSlash(dir))
	return nil
}
