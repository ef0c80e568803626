package command

import (
	"errors"
	"fmt"
)

// The meanings of ripctl's exit statuses. The numbers do not change.
const (
	statusDone     = 0
	statusFailed   = 1 // anything else
	statusUsage    = 2 // the command line is wrong
	statusInput    = 3 // a file or a value in it is wrong
	statusServer   = 4 // no answer: nothing there, too busy, too late, access denied
	statusBroken   = 5 // the setting breaks a rule of the saw
	statusProof    = 6 // a plan was not proven, though --must-prove required it
	statusUnfilled = 7 // the lumber cannot give all of the order
)

const statuses = `Exit status: 0 done; 1 failed; 2 the command line is wrong; 3 a file or a value
in it is wrong; 4 the service gave no answer; 5 the setting breaks a rule of the
saw; 6 a plan was not proven although --must-prove was given; 7 the lumber cannot
give all of the order.`

// coded is an error with an exit status.
type coded struct {
	error
	status int
}

func (c coded) Unwrap() error { return c.error }

func usage(format string, args ...any) error {
	return coded{fmt.Errorf(format, args...), statusUsage}
}

func input(format string, args ...any) error {
	return coded{fmt.Errorf(format, args...), statusInput}
}

// statusOf gives the exit status of an error. Errors from cobra are about the command
// line.
func statusOf(err error) int {
	if err == nil {
		return statusDone
	}
	var c coded
	if errors.As(err, &c) {
		return c.status
	}
	return statusUsage
}

// failed marks an error as none of the others.
func failed(err error) error {
	var c coded
	if err == nil || errors.As(err, &c) {
		return err
	}
	return coded{err, statusFailed}
}
