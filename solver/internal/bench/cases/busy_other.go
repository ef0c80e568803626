//go:build !unix

package cases

import "time"

// Busy is not known here; it is always 0.
func Busy() time.Duration { return 0 }
