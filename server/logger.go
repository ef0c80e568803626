package main

import (
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"github.com/ripwright/ripwright/server/config"
)

// logger writes to standard error.
func logger(c *config.Config) (*zap.Logger, error) {
	level, err := zapcore.ParseLevel(c.LogLevel)
	if err != nil {
		return nil, err
	}
	z := zap.NewProductionConfig()
	z.Level = zap.NewAtomicLevelAt(level)
	z.Encoding = c.LogFormat
	z.EncoderConfig.EncodeTime = zapcore.RFC3339NanoTimeEncoder
	z.EncoderConfig.EncodeDuration = zapcore.StringDurationEncoder
	z.DisableStacktrace = true // a refused saw file has none; panics log their own
	return z.Build()
}
