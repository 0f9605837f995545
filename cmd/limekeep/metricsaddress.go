package main

import (
	"context"
	"net"

	"limekeep/schedule/record"
)

// listenForMetrics opens the address that figures are served at: one of this computer
// alone, since they ask for no password. An empty one is none.
func listenForMetrics(ctx context.Context, address string) (net.Listener, error) {
	if address == "" {
		return nil, nil
	}
	if reachedByOthers(address) {
		return nil, &record.FieldError{Field: "--metrics", Value: address, Want: "an address of this computer alone, such as 127.0.0.1:9321"}
	}
	return listen(ctx, address, true)
}
