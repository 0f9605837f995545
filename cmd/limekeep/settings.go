package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/store"
)

// load reads the settings: a flag counts most, then the environment, then the
// file, then the default.
func (a *app) load(cmd *cobra.Command) error {
	a.settings.SetEnvPrefix("LIMEKEEP")
	a.settings.AutomaticEnv()
	if err := a.settings.BindPFlags(cmd.Flags()); err != nil {
		return err
	}
	named := a.settings.GetString("settings")
	path := named
	if path == "" {
		folder, err := os.UserConfigDir()
		if err != nil {
			return nil //nolint:nilerr // no folder, no file
		}
		path = filepath.Join(folder, "limekeep", "settings.yaml")
	}
	a.settings.SetConfigFile(path)
	a.settings.SetConfigType("yaml")
	err := a.settings.ReadInConfig()
	if err != nil && (named != "" || !errors.Is(err, fs.ErrNotExist)) {
		return fmt.Errorf("settings: %s cannot be read: %w", path, err)
	}
	return nil
}

// fileOrServer refuses an address that is none of a PostgreSQL server: it would be taken for
// the name of a file.
func fileOrServer(flag, path string) error {
	if strings.Contains(path, "://") && !store.IsServer(path) {
		return &record.FieldError{Field: flag, Value: path, Want: "a file, or the address of a PostgreSQL server, which begins with postgres://"}
	}
	return nil
}

// dataFile gives the file of the records, or the address of the server they are on.
func (a *app) dataFile() (string, error) {
	if path := a.settings.GetString("data"); path != "" {
		return path, fileOrServer("--data", path)
	}
	if a.typed {
		return "", &record.FieldError{Field: "--data", Want: "the file of your records, or leave the flag away for the usual one"}
	}
	if folder := os.Getenv("XDG_DATA_HOME"); folder != "" {
		return filepath.Join(folder, "limekeep", "records.db"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("data: there is no home folder to keep records in; name a file with --data: %w", err)
	}
	switch runtime.GOOS {
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "limekeep", "records.db"), nil
	case "windows":
		return filepath.Join(home, "AppData", "Local", "limekeep", "records.db"), nil
	}
	return filepath.Join(home, ".local", "share", "limekeep", "records.db"), nil
}

// What may be taken for today: nothing of use was written down before, and a forecast so
// far ahead tells nothing (assumptions).
const mostYearsAhead = 10

var firstToday = record.NewDate(1980, time.January, 1)

// moment gives what the settings say of the place and the day.
func (a *app) moment() (schedule.Moment, error) {
	m := schedule.Moment{Place: a.settings.GetString("place")}
	if text := a.settings.GetString("today"); text != "" {
		today, err := record.ParseDate(text)
		if err != nil {
			return m, rename(err, "--today")
		}
		if last := record.DateOf(time.Now()).AddMonths(12 * mostYearsAhead); today > last || today < firstToday {
			return m, &record.FieldError{Field: "--today", Value: text, Want: fmt.Sprintf("a day from %s to %s: nothing is known of others", firstToday, last)}
		}
		m.Today = today
	}
	return m, nil
}
