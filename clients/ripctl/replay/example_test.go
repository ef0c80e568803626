package replay_test

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/clients/ripctl/replay"
)

// A recording whose last line is torn by a full disk: the rest is read, and the line
// reported.
func ExampleRead() {
	recording := `{"time":"2025-03-04T06:00:00Z","caller":"line 1","request":{"board":{"board_id":"17"}},"response":{"plan":{}}}
{"time":"2025-03-04T06:00:03Z","caller":"line 1","requ`
	passed, err := replay.Read(strings.NewReader(recording), func(r *replay.Record) error {
		fmt.Println("board", r.Request.GetBoard().GetBoardId())
		return nil
	})
	fmt.Println("torn: line", passed.Torn[0].Line, err)
	// Output:
	// board 17
	// torn: line 2 <nil>
}
