package main

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// says are words that the text of each licence contains.
var says = map[string][]string{
	"MIT":          {"Permission is hereby granted, free of charge"},
	"Apache-2.0":   {"Apache License", "Version 2.0"},
	"BSD-2-Clause": {"Redistribution and use in source and binary forms"},
	"BSD-3-Clause": {"Redistribution and use in source and binary forms", "Neither the name"},
	// Both are in separate files beside the one that names them.
	"EPL-2.0 OR BSD-3-Clause": {"Eclipse Public License - v 2.0", "Eclipse Distribution License", "Neither the name"},
}

// The list has everything that is compiled in, for every system that wherry is built for,
// with licences that the modules carry.
func TestLicences(t *testing.T) {
	text, err := os.ReadFile("LICENCES.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^\| (\S+\.\S+) \| (.*) \|$`).FindAllStringSubmatch(string(text), -1) {
		listed[m[1]] = m[2]
	}
	found := map[string]string{}
	for _, system := range []string{"linux", "windows"} {
		c := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", ".")
		c.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := c.Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(strings.TrimSpace(string(out)), "\n") {
			if path, dir, ok := strings.Cut(l, " "); ok && path != "github.com/ripwright/ripwright" {
				found[path] = dir
			}
		}
	}
	if a, b := slices.Sorted(maps.Keys(listed)), slices.Sorted(maps.Keys(found)); !slices.Equal(a, b) {
		t.Errorf("licences are listed for %q, needed for %q", a, b)
	}
	for path, dir := range found {
		licence := listed[path]
		if len(says[licence]) == 0 {
			t.Errorf("%s: unknown licence %q", path, licence)
		}
		all := ""
		files, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if regexp.MustCompile(`(?i)^(licen[cs]e|e[pd]l-v)`).MatchString(f.Name()) && !f.IsDir() {
				b, err := os.ReadFile(filepath.Join(dir, f.Name()))
				if err != nil {
					t.Fatal(err)
				}
				all += string(b)
			}
		}
		for _, words := range says[licence] {
			if !strings.Contains(strings.Join(strings.Fields(all), " "), words) {
				t.Errorf("%s: its licence lacks %q, which is in %s", path, words, licence)
			}
		}
		if third := strings.Contains(all, "Neither the name"); strings.HasPrefix(licence, "BSD-2") && third {
			t.Errorf("%s: its licence has a third clause", path)
		}
	}
}
