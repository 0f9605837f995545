package main

import (
	"io"
	"log/slog"

	"limekeep/cmd/limekeep/web/gate"
	"limekeep/schedule/record"
)

// newLog makes the log of a server. It never holds a secret: addresses are logged by
// what they are for, never as they were asked.
func newLog(out io.Writer, level, format string) (*slog.Logger, error) {
	var least slog.Level
	if err := least.UnmarshalText([]byte(level)); err != nil {
		return nil, &record.FieldError{Field: "--log-level", Value: level, Want: "debug, info, warn or error"}
	}
	options := &slog.HandlerOptions{Level: least}
	switch format {
	case "text":
		return slog.New(gate.WithRequestIDs(slog.NewTextHandler(out, options))), nil
	case "json":
		return slog.New(gate.WithRequestIDs(slog.NewJSONHandler(out, options))), nil
	}
	return nil, &record.FieldError{Field: "--log-format", Value: format, Want: "text or json"}
}
