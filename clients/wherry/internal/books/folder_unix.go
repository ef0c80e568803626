//go:build !windows

package books

import (
	"errors"
	"os"
)

// syncFolder makes the last change of names in a folder survive a stop of the machine.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
