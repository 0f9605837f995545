package main

import (
	"net/url"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
)

// baseFlag lets a command know the address under which others reach the pages.
func baseFlag(cmd *cobra.Command) {
	cmd.Flags().String("base", "", "address under which others reach the pages, such as https://care.example.org")
}

// base gives the address under which others reach the pages, as the settings
// have it; else the one at which they are served to this computer.
func (a *app) base() (*url.URL, error) {
	text := a.settings.GetString("base")
	if text == "" {
		text = "http://" + preferredAddress
	}
	return parseBase(text)
}

// parseBase reads a base. What is none is a *record.FieldError.
func parseBase(text string) (*url.URL, error) {
	parsed, err := url.Parse(text)
	if err != nil || parsed.Host == "" || parsed.Scheme != "http" && parsed.Scheme != "https" {
		return nil, &record.FieldError{Field: "--base", Value: text, Want: "the whole address, such as https://care.example.org"}
	}
	return parsed, nil
}
