package hostile

import "os"

// every has attacks last as long as they have to be seen to bring nothing, as make verify
// does. Without it the longest are shorter, or go by one way where two are like.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""
