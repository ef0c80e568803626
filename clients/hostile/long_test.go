package hostile

import "os"

// every runs attacks that go over either of two similar paths over both, as make verify
// does. Without it they go over the first only: each takes ten seconds of a processor.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""
