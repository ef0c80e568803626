// Package trial tests the service as callers meet it, over gRPC and JSON: with every
// input wrong in every way, with deadlines, with more work than it accepts, and with a
// fuzzer's inputs. It holds tests only.
package trial
