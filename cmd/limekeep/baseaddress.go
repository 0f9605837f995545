package main

import (
	"context"
	"net"
	"net/url"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
	"limekeep/store"
)

// baseFlag lets a command know the address under which others reach the pages.
func baseFlag(cmd *cobra.Command) {
	cmd.Flags().String("base", "", "address under which others reach the pages, such as https://care.example.org")
}

// base returns the address under which the pages of a place are reached: as the
// settings have it, else as "limekeep serve" last said, else where it listens if
// nobody asks for another. It reports whether others than this computer reach it.
func (a *app) base(ctx context.Context, db *store.DB, place string) (base *url.URL, forOthers bool, err error) {
	text := a.settings.GetString("base")
	if text == "" {
		if text, err = db.ServedAddress(ctx, place); err != nil {
			return nil, false, err
		}
	}
	if text == "" {
		text = "http://" + preferredAddress
	}
	if base, err = parseBase(text); err != nil {
		return nil, false, err
	}
	host := base.Hostname()
	ip := net.ParseIP(host)
	return base, host != "localhost" && (ip == nil || !ip.IsLoopback()), nil
}

// parseBase reads a base. What is none is a *record.FieldError.
func parseBase(text string) (*url.URL, error) {
	parsed, err := url.Parse(text)
	if err != nil || parsed.Host == "" || parsed.Scheme != "http" && parsed.Scheme != "https" {
		return nil, &record.FieldError{Field: "--base", Value: text, Want: "the whole address, such as https://care.example.org"}
	}
	if parsed.User != nil || parsed.RawQuery != "" || parsed.ForceQuery || parsed.Fragment != "" {
		// It goes into every link and log; what stood there is not repeated.
		return nil, &record.FieldError{Field: "--base", Want: "the address without a user name, password, query or fragment, such as https://care.example.org"}
	}
	return parsed, nil
}
