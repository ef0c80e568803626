package codec_test

import (
	"fmt"

	"google.golang.org/grpc/encoding"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A client registers the codec before it connects. The bytes on the wire stay the same.
func ExampleRegister() {
	codec.Register()
	wire := encoding.GetCodecV2("proto")
	sent, err := wire.Marshal(&ripwrightv1.Board{BoardId: "b1", LengthMm: 2400})
	if err != nil {
		fmt.Println(err)
		return
	}
	var board ripwrightv1.Board
	if err := wire.Unmarshal(sent, &board); err != nil {
		fmt.Println(err)
	}
	fmt.Println(board.GetBoardId(), board.GetLengthMm())
	// Output: b1 2400
}
