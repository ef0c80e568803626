// Package secure decides who may talk to the service: over TLS 1.3 with the
// plant's own certificates, and by bearer tokens that each allow some calls.
// Both come from files that are read anew while the service runs; at the
// start a file that cannot be used ends the service, later the files before it stay in force.
package secure
