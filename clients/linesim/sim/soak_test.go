package sim

import (
	"context"
	"os"
	"testing"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A fast line saws a board per second, which is common practice at its upper end; here
// ten times that for RIPWRIGHT_SOAK (such as 10m), and no answer may be missing or later
// than half a second.
func TestSoak(t *testing.T) {
	long, err := time.ParseDuration(os.Getenv("RIPWRIGHT_SOAK"))
	if err != nil {
		t.Skip("RIPWRIGHT_SOAK is not a time")
	}
	const every = time.Second / 10
	server := launch(t, build(t))
	defer server.Kill()
	boards := int(long / every)
	r, err := Run(t.Context(), Config{Seed: 99, Boards: boards, SetUp: SetUp("soak"), Every: every, Within: 5 * every, Patience: time.Minute,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return dial(server.GRPC) }})
	sound(t, r, err, boards)
	r.Print(os.Stdout)
	if r.Late > 0 || r.Missed > 0 {
		t.Errorf("%d answers late, %d missed", r.Late, r.Missed)
	}
	if r.Streams > 0 {
		t.Errorf("the stream broke %d times", r.Streams)
	}
}
