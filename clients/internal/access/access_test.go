package access

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A token is sent unencrypted only to this machine, and each fault names its part.
func TestDialing(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		t.Helper()
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	token, empty := file("token", " word\n"), file("empty", "\n")
	gone := filepath.Join(dir, "gone")
	for name, c := range map[string]struct {
		access  Access
		at      string
		options int
		part    Part
		misuse  bool
		want    string // of the fault
	}{
		"in the open":            {Access{}, "192.0.2.1:7420", 1, 0, false, ""}, // RFC 5737
		"token to this machine":  {Access{TokenFile: token}, "127.0.0.1:7420", 2, 0, false, ""},
		"token to localhost":     {Access{TokenFile: token}, "localhost:7420", 2, 0, false, ""},
		"token to ::1":           {Access{TokenFile: token}, "[::1]:7420", 2, 0, false, ""},
		"token in the open":      {Access{TokenFile: token}, "192.0.2.1:7420", 0, Token, true, "in the clear to 192.0.2.1:7420"},
		"token to a name":        {Access{TokenFile: token}, "dns:///localhost:7420", 0, Token, true, "in the clear"},
		"token to no port":       {Access{TokenFile: token}, "127.0.0.1", 0, Token, true, "in the clear"},
		"token by TLS":           {Access{TokenFile: token, TLS: true}, "192.0.2.1:7420", 2, 0, false, ""},
		"an empty token":         {Access{TokenFile: empty, TLS: true}, "192.0.2.1:7420", 0, Token, false, "is empty"},
		"no token":               {Access{TokenFile: gone, TLS: true}, "192.0.2.1:7420", 0, Token, false, "no such file"},
		"no authority":           {Access{CA: gone}, "192.0.2.1:7420", 0, CA, false, "no such file"},
		"an authority in no PEM": {Access{CA: token}, "192.0.2.1:7420", 0, CA, false, "holds no certificate in PEM form"},
		"half a pair":            {Access{Key: token}, "192.0.2.1:7420", 0, Pair, true, "give both"},
		"an invalid pair":        {Access{Cert: token, Key: token}, "192.0.2.1:7420", 0, Pair, false, "PEM"},
	} {
		options, err := c.access.Dialing(c.at)
		var f *Fault
		switch {
		case c.want == "":
			if err != nil || len(options) != c.options {
				t.Errorf("%s: %d options, %v", name, len(options), err)
			}
		case !errors.As(err, &f) || f.Part != c.part || f.Misuse != c.misuse || !strings.Contains(err.Error(), c.want):
			t.Errorf("%s: %+v %v", name, f, err)
		}
	}
	b := bearer{"word", true}
	if m, err := b.GetRequestMetadata(t.Context()); err != nil || m["authorization"] != "Bearer word" || !b.RequireTransportSecurity() {
		t.Error(m, err)
	}
}
