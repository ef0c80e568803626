// Package secure decides who may talk to the service: over TLS 1.3 with the
// plant's own certificates, and by bearer tokens that each allow some calls.
// Both come from files that are read anew while the service runs; a file that
// cannot be used stops the start, and later leaves what was in force in force.
package secure
