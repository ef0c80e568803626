package config

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"
)

// Call is a parsed command line. Its settings are not read yet.
type Call struct {
	Help    bool
	Check   bool // check the configuration, and end
	Print   bool // show the configuration, and end
	Version bool // print the release, and end
	Probe   bool // ask a running service whether it is ready, and end

	file  string
	flags map[string]any // as written
}

// ParseArgs parses the arguments, without the program's name. An error is one of usage:
// an unknown flag or argument.
func ParseArgs(args []string) (*Call, error) {
	c := &Call{flags: map[string]any{}}
	fs := pflag.NewFlagSet("server", pflag.ContinueOnError)
	fs.Usage = func() {} // the caller prints the usage
	fs.BoolVarP(&c.Help, "help", "h", false, "")
	fs.BoolVar(&c.Check, "check", false, "")
	fs.BoolVar(&c.Print, "print-config", false, "")
	fs.BoolVar(&c.Version, "version", false, "")
	fs.BoolVar(&c.Probe, "probe", false, "")
	fs.StringVar(&c.file, "config", "", "")
	names := []string{"help", "check", "print-config", "version", "probe", "config"}
	for _, s := range settings {
		// Values are read together with those of the environment and the file, so that
		// all faults are found at once.
		fs.String(s.name, "", "")
		if s.arg == "BOOL" {
			fs.Lookup(s.name).NoOptDefVal = "true"
		}
		names = append(names, s.name)
	}
	if err := fs.Parse(args); err != nil {
		var unknown *pflag.NotExistError
		if errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() == "" {
			name := unknown.GetSpecifiedName()
			return nil, fmt.Errorf("%s: is not a flag%s", flag(name), suggest(name, names, flag))
		}
		return nil, err
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("unexpected argument %q", fs.Arg(0))
	}
	fs.Visit(func(f *pflag.Flag) {
		if find(f.Name) != nil {
			c.flags[f.Name] = f.Value.String()
		}
	})
	return c, nil
}
