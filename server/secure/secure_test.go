package secure

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	lineToken   = "line-0123456789abcdefgh"
	officeToken = "office-0123456789abcdef"
)

func write(t *testing.T, text string) string {
	t.Helper()
	f := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(f, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAllow(t *testing.T) {
	tokens, err := LoadTokens(write(t, `
# two of them
- {name: saw 3, token: `+lineToken+`, scopes: [line]}
- {name: sales, token: `+officeToken+`, scopes: [office, read]}
`))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		header string
		need   []Scope
		want   error
	}{
		{"Bearer " + lineToken, []Scope{Line}, nil},
		{"bearer " + lineToken, []Scope{Office, Line}, nil},
		{"Bearer " + lineToken, []Scope{Office}, ErrScope},
		{"Bearer " + officeToken, []Scope{Read}, nil},
		{"Bearer " + officeToken, []Scope{Line}, ErrScope},
		{"Bearer " + lineToken + "x", []Scope{Line}, ErrWrongToken},
		{"Bearer " + lineToken[1:], []Scope{Line}, ErrWrongToken},
		{"", []Scope{Line}, ErrNoToken},
		{"Bearer ", []Scope{Line}, ErrNoToken},
		{lineToken, []Scope{Line}, ErrNoToken},
		{"Basic " + lineToken, []Scope{Line}, ErrNoToken},
	} {
		if err := tokens.Allow(c.header, c.need...); !errors.Is(err, c.want) {
			t.Errorf("%q for %v: %v, want %v", c.header, c.need, err, c.want)
		}
	}
}

// The error of a faulty file says where it is wrong, and never what a token is.
func TestWrongTokenFiles(t *testing.T) {
	for text, says := range map[string]string{
		"":                                      "is empty",
		"[]":                                    "is empty",
		"- {name: a, token: " + lineToken + "}": "[0].scopes: is empty",
		"- {token: " + lineToken + ", scopes: [line]}":                                                                 "[0].name: is empty",
		"- {name: a, token: short, scopes: [line]}":                                                                    "[0].token: must be 20 to 512 characters",
		"- {name: a, token: '" + lineToken + " x', scopes: [line]}":                                                    "without spaces",
		"- {name: a, token: " + lineToken + ", scopes: [line, boss]}":                                                  `[0].scopes[1]: is "boss"; must be line, office or read`,
		"- {name: a, token: " + lineToken + ", scopes: [line], expires: never}":                                        "line 1: is not a list",
		"name: a\ntoken: " + lineToken:                                                                                 "is not a list",
		"- {name: a, token: " + lineToken + ", scopes: [line]}\n- {name: b, token: " + lineToken + ", scopes: [read]}": "[1].token: is the same as that of [0]",
	} {
		_, err := LoadTokens(write(t, text))
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", text, err, says)
		} else if strings.Contains(err.Error(), lineToken) || strings.Contains(err.Error(), "short,") {
			t.Errorf("the error shows a token: %v", err)
		}
	}
	if _, err := LoadTokens(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a file that does not exist was accepted")
	}
}

// A file that cannot be read again leaves the previous content in force.
func TestReloadKeepsTheOld(t *testing.T) {
	f := write(t, "- {name: a, token: "+lineToken+", scopes: [line]}")
	tokens, err := LoadTokens(f)
	if err != nil {
		t.Fatal(err)
	}
	set := func(text string) {
		if err := os.WriteFile(f, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	set("- nonsense")
	if tokens.Reload() == nil {
		t.Error("an invalid file was accepted")
	}
	if err := tokens.Allow("Bearer "+lineToken, Line); err != nil {
		t.Errorf("after a bad file: %v", err)
	}
	set("- {name: a, token: " + officeToken + ", scopes: [line]}")
	if err := tokens.Reload(); err != nil {
		t.Fatal(err)
	}
	if tokens.Allow("Bearer "+lineToken, Line) == nil || tokens.Allow("Bearer "+officeToken, Line) != nil {
		t.Error("the new tokens are not in force")
	}
}
