package caller

import (
	"context"
	"testing"
)

func TestAddress(t *testing.T) {
	for remote, want := range map[string]string{ // documentation addresses, RFC 5737 and RFC 3849
		"192.0.2.7:4711":              "address:192.0.2.7",
		"[::ffff:192.0.2.7]:4711":     "address:192.0.2.7",
		"[2001:db8:1:2:3:4:5:6]:4711": "address:2001:db8:1:2::/64",
		"[2001:db8:1:2:9:9:9:9]:1":    "address:2001:db8:1:2::/64",
		"[::1]:4711":                  "address:::1",
		"pipe":                        "address:pipe",
	} {
		if got := Address(remote); got != want {
			t.Errorf("%s: %s, want %s", remote, got, want)
		}
	}
	if Of(context.Background()) != "" || Of(With(context.Background(), Token("a"))) != "token:a" {
		t.Error("a context loses its caller")
	}
}
