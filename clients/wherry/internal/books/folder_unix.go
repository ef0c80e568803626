//go:build !windows

package books

import (
	"errors"
	"os"
)

// syncFolder has a name that was given last beyond a stop of the machine.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
