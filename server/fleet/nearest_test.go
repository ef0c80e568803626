package fleet_test

import (
	"errors"
	"strings"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
)

// A mistyped name is answered with the nearest saw's; a name that is like none is not.
func TestNearestSaw(t *testing.T) {
	f, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{"Heron": `did you mean "heron"?`, "HERON": `"heron"?`, "heon": `"heron"?`, "heorn": `"heron"?`, "plovers": `"plover"?`,
		"egret": "", "h": "", strings.Repeat("heron", 20): ""} {
		_, err := wire.Solve(&ripwrightv1.SolveBoardRequest{SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: typed}}, f)
		var unknown wire.UnknownSaw
		if !errors.As(err, &unknown) || unknown.Name != typed || !strings.Contains(err.Error(), want) || want == "" && strings.Contains(err.Error(), "did you mean") {
			t.Errorf("%s: %v", typed, err)
		}
	}
}
