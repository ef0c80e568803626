package config

import (
	"regexp"
	"strings"

	"github.com/knadh/koanf/providers/env/v2"
	"github.com/knadh/koanf/v2"
)

const (
	prefix    = "RIPWRIGHT_"
	configVar = prefix + "CONFIG" // names the file, as --config does
)

// link matches what Kubernetes puts into a pod's environment for a service called
// ripwright or ripwright-something. Nobody wrote these variables, so they are neither
// settings nor mistakes.
var link = regexp.MustCompile(`^RIPWRIGHT(_.+)?_(SERVICE_HOST|SERVICE_PORT(_.+)?|PORT(_[0-9]+_(TCP|UDP|SCTP)(_(PROTO|PORT|ADDR))?)?)$`)

// environment gives the settings of the variables, and the file that they name.
func environment(environ []string) (vars *koanf.Koanf, file string) {
	vars = koanf.New(delimiter)
	_ = vars.Load(env.Provider("", env.Opt{ // reads from memory only
		Prefix:      prefix,
		EnvironFunc: func() []string { return environ },
		TransformFunc: func(name, value string) (string, any) {
			switch {
			case name == configVar:
				file = value
				return "", nil
			case link.MatchString(name):
				return "", nil
			}
			return settingOf(name), value
		},
	}), nil)
	return vars, file
}

// settingOf gives a variable's setting, or the variable's own name if no setting is
// written like it.
func settingOf(name string) string {
	s := strings.ToLower(strings.ReplaceAll(strings.TrimPrefix(name, prefix), "_", "-"))
	if variable(s) == name {
		return s
	}
	return name
}

// variable gives the name of a setting's variable.
func variable(setting string) string {
	if strings.HasPrefix(setting, prefix) {
		return setting
	}
	return prefix + strings.ToUpper(strings.ReplaceAll(setting, "-", "_"))
}
