// Package trial tries the service as callers meet it, over gRPC and over JSON:
// with every input wrong in every way, with deadlines, with more work than it
// takes, and with what a fuzzer thinks of. It holds tests only.
package trial
