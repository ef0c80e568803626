// Package secure decides who may call the service: over TLS 1.3 with the plant's own
// certificates, and by bearer tokens that each allow some calls. Both come from files
// that are read again while the service runs. A faulty file ends the service at its
// start; later the previous content stays in force.
package secure
