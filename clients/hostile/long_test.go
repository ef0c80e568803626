package hostile

import "os"

// every has attacks that go by two like ways go by both, as make verify does. Without it
// they go by the first alone: each takes ten seconds of a processor.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""
