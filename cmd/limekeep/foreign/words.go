// Package foreign puts what the system and libraries report into our words, for those who
// write no programs.
package foreign

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
)

// InOurWords returns the text of an error with what the system and libraries say of
// themselves put into words that a person who writes no programs can act on. What our own
// rooms say stays as it is.
func InOurWords(err error) string { return framework(replaceForeign(err.Error(), err)) }

// replaceForeign looks for errors of others in what an error is made of, outermost first.
func replaceForeign(text string, err error) string {
	if words, ok := foreignWords(err, text); ok {
		return strings.Replace(text, err.Error(), words, 1)
	}
	switch wraps := err.(type) { //nolint:errorlint // each layer is looked at by itself
	case interface{ Unwrap() error }:
		if inner := wraps.Unwrap(); inner != nil {
			return replaceForeign(text, inner)
		}
	case interface{ Unwrap() []error }:
		for _, inner := range wraps.Unwrap() {
			text = replaceForeign(text, inner)
		}
	}
	return text
}

// foreignWords returns what to say for one error of others, in a text that may have told the
// file already; false for those that need no other words.
func foreignWords(err error, text string) (string, bool) {
	switch foreign := err.(type) { //nolint:errorlint // each layer is looked at by itself
	case *os.PathError:
		return ofPath(foreign.Path, foreign.Err, before(text, foreign)), true
	case *os.LinkError:
		return ofPath(foreign.New, foreign.Err, before(text, foreign)), true
	case *os.SyscallError:
		return systemWords(foreign.Err), true
	case syscall.Errno:
		return systemWords(foreign), true
	case *net.OpError:
		return networkWords(foreign.Err), true
	case *net.DNSError, *net.AddrError, *net.ParseError:
		return networkWords(err), true
	case *strconv.NumError:
		return numberWords(foreign), true
	case *json.SyntaxError, *json.UnmarshalTypeError:
		return jsonWords(err), true
	case *exec.ExitError:
		return fmt.Sprintf("it ended with status %d", foreign.ExitCode()), true
	case *exec.Error:
		return fmt.Sprintf("there is no program %q here", foreign.Name), true
	}
	for _, known := range knownErrors {
		if err == known.err { //nolint:errorlint // each layer is looked at by itself
			return known.words, true
		}
	}
	return "", false
}

// knownErrors are single errors of others.
var knownErrors = []struct {
	err   error
	words string
}{
	{io.EOF, "it ends before it should"},
	{io.ErrUnexpectedEOF, "it ends before it should"},
	{bufio.ErrTooLong, "a line is longer than any can be"},
	{context.Canceled, "stopped before it was done"},
	{context.DeadlineExceeded, "it took too long"},
	{os.ErrClosed, "it was closed meanwhile"},
	{os.ErrDeadlineExceeded, "it took too long"},
	{os.ErrNotExist, "there is no such file or folder"},
	{os.ErrExist, "the file already exists"},
	{os.ErrPermission, "you have no right to it"},
}

// before returns what a text says ahead of an error.
func before(text string, err error) string {
	ahead, _, _ := strings.Cut(text, err.Error())
	return ahead
}

// ofPath says what is the matter with a file, by its name unless that was told.
func ofPath(path string, err error, told string) string {
	words := systemWords(err)
	if path == "" || strings.Contains(told, path) {
		return words
	}
	return path + ": " + words
}

// ofSystem are the words for what systems report (POSIX, errno.h).
var ofSystem = map[syscall.Errno]string{
	syscall.ENOENT:        "there is no such file or folder",
	syscall.EACCES:        "you have no right to it: give yourself the right, or name another",
	syscall.EPERM:         "you have no right to it: give yourself the right, or name another",
	syscall.EEXIST:        "the file already exists: name another",
	syscall.EISDIR:        "it is a folder: name a file",
	syscall.ENOTDIR:       "part of its path is a file, not a folder",
	syscall.ENOTEMPTY:     "the folder is not empty",
	syscall.ELOOP:         "the links there lead in a circle",
	syscall.ENAMETOOLONG:  "its name is longer than the system can take",
	syscall.ENOSPC:        "the disk is full: make room and try again",
	syscall.EDQUOT:        "your share of the disk is full: make room and try again",
	syscall.EROFS:         "the disk there can only be read: name a place on another",
	syscall.EIO:           "the disk failed: see to it",
	syscall.EMFILE:        "too many files are open: close some programs and try again",
	syscall.ENFILE:        "too many files are open: close some programs and try again",
	syscall.EXDEV:         "it lies on another disk",
	syscall.EINVAL:        "it cannot be used so",
	syscall.EPIPE:         "nobody reads it any more",
	syscall.ENXIO:         "nothing is at its other end",
	syscall.EADDRINUSE:    "it is taken already",
	syscall.EADDRNOTAVAIL: "this computer has no such address",
	syscall.ECONNREFUSED:  "nobody answers there",
	syscall.ENOMEM:        "the computer has no memory left",
}

func systemWords(err error) string {
	var number syscall.Errno
	if errors.As(err, &number) {
		if words, ok := ofSystem[number]; ok {
			return words
		}
	}
	for _, known := range knownErrors {
		if errors.Is(err, known.err) { // as systems other than POSIX have them
			return known.words
		}
	}
	return "the system refuses it (" + err.Error() + ")"
}

func networkWords(err error) string {
	var name *net.DNSError
	var address *net.AddrError
	var parse *net.ParseError
	var number syscall.Errno
	switch {
	case errors.As(err, &number) && number == syscall.EACCES:
		return "you have no right to it: ports up to 1023 are the system's"
	case errors.As(err, &number):
		return systemWords(number)
	case errors.As(err, &name) && strings.Contains(name.Err, "port"):
		return fmt.Sprintf("%q is no port", name.Name[strings.LastIndex(name.Name, "/")+1:])
	case errors.As(err, &name):
		return fmt.Sprintf("no computer of the name %q is known", name.Name)
	case errors.As(err, &address) && strings.Contains(address.Err, "missing port"):
		return fmt.Sprintf("%q has no port behind a colon", address.Addr)
	case errors.As(err, &address):
		return fmt.Sprintf("%q is no address", address.Addr)
	case errors.As(err, &parse):
		return fmt.Sprintf("%q is no address", parse.Text)
	}
	return "the network does not let it"
}

func numberWords(err *strconv.NumError) string {
	switch {
	case errors.Is(err.Err, strconv.ErrRange):
		return "the number is too large"
	case err.Func == "ParseBool":
		return "write true or false"
	case err.Func == "ParseFloat":
		return "it is no number"
	}
	return "it is no whole number"
}

func jsonWords(err error) string {
	var wrong *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &wrong) && wrong.Field != "":
		return fmt.Sprintf("%s: a %s cannot stand there", wrong.Field, wrong.Value)
	case errors.As(err, &wrong):
		return fmt.Sprintf("a %s cannot stand there", wrong.Value)
	case errors.As(err, &syntax) && strings.HasPrefix(syntax.Error(), "unexpected end"):
		return "it ends before it should"
	case errors.As(err, &syntax):
		return fmt.Sprintf("from character %d on it is no JSON", syntax.Offset)
	}
	return "it is no JSON"
}
