//go:build !unix

package cases

import "time"

// Busy is not known here.
func Busy() time.Duration { return 0 }
