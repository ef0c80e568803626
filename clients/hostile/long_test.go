package hostile

import "os"

// every runs attacks whole, as make verify does. Without it those that go over either of
// two similar paths go over the first only, others are shorter, and the one that takes
// longest is left out.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""
