package main

import (
	"io"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
	"limekeep/schedule/say/customary"
)

// inOwnUnits is where answers go that are told in the units of a place's owner.
type inOwnUnits struct {
	io.Writer
	columns int
	to      customary.Units
}

// Write turns what is written at once; a measure that two writes part stays.
func (w *inOwnUnits) Write(text []byte) (int, error) {
	if _, err := io.WriteString(w.Writer, w.to.Text(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// tellOwner returns where to write what the owner of a place is told; JSON is for programs,
// and as the records are.
func (a *app) tellOwner(w io.Writer, p record.Place) io.Writer {
	to := customary.For(p)
	if a.asJSON || to == (customary.Units{}) {
		return w
	}
	return &inOwnUnits{Writer: w, columns: columnsOf(w), to: to}
}

// answerIn has a command answer in the units of a place's owner while do runs.
func (a *app) answerIn(cmd *cobra.Command, p record.Place, do func() error) error {
	out := cmd.OutOrStdout()
	cmd.SetOut(a.tellOwner(out, p))
	defer cmd.SetOut(out)
	return do()
}

// unitsOf returns in what units a writer tells what is written to it.
func unitsOf(w io.Writer) customary.Units {
	switch w := w.(type) {
	case *inOwnUnits:
		return w.to
	case *sheet:
		return w.to
	}
	return customary.Units{}
}
