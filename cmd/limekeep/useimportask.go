package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"limekeep/cmd/limekeep/intake/shotlog"
)

// canAsk reports whether somebody sits at a terminal who can answer, and the
// file comes from elsewhere.
func canAsk(cmd *cobra.Command, path string) bool {
	if path == "-" {
		return false
	}
	f, ok := cmd.InOrStdin().(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// askQuestions asks what a log leaves open and puts the answers into the
// options. It reports whether all was answered so that the log can be taken.
func askQuestions(in io.Reader, out io.Writer, questions []shotlog.Question, options *shotlog.Options) bool {
	answers := bufio.NewScanner(in)
	ask := func(prompt string) string {
		fmt.Fprint(out, prompt)
		if !answers.Scan() {
			return ""
		}
		return strings.ToLower(strings.TrimSpace(answers.Text()))
	}
	unusual := false
	for _, q := range questions {
		fmt.Fprintln(out, q)
		if !q.Doses {
			unusual = true
			continue
		}
		switch ask("Of each shot, or of all together? [each/together] ") {
		case "each", "e":
			options.Doses = shotlog.EachShot
		case "together", "t":
			options.Doses = shotlog.AllTogether
		default:
			return false
		}
	}
	if unusual {
		if answer := ask("Take what is unusual as it stands? [y/N] "); answer != "y" && answer != "yes" {
			return false
		}
		options.AsWritten = true
	}
	return true
}

// rewind goes back to the beginning of a file.
func rewind(in io.Reader) bool {
	seeker, ok := in.(io.Seeker)
	if !ok {
		return false
	}
	_, err := seeker.Seek(0, io.SeekStart)
	return err == nil
}
