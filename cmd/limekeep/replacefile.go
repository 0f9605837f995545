package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// replaceFile writes the file of a flag whole or not at all: into a new file beside it,
// which then takes its place. Where fill gives a *badRowsError the file is whole
// all the same. What is there and is no plain file, such as a pipe, is written
// to directly.
func replaceFile(flag, path string, fill func(io.Writer) error) error {
	mode := fs.FileMode(0o644)
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return fillFile(flag, path, fill)
		}
		mode = info.Mode().Perm()
	}
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		var of *fs.PathError
		if errors.As(err, &of) {
			err = of.Err // and not under the name that it would have had meanwhile
		}
		return fmt.Errorf("%s: nothing can be written to %s: %w", flag, path, err)
	}
	defer os.Remove(temp.Name()) // gone already once it took its place
	filled := fill(temp)
	var bad *badRowsError
	if filled != nil && !errors.As(filled, &bad) {
		_ = temp.Close()
		return filled
	}
	if err := errors.Join(temp.Chmod(mode), temp.Sync(), temp.Close()); err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	if err := os.Rename(temp.Name(), path); err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	return filled
}

// fillFile writes to what is there already.
func fillFile(flag, path string, fill func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	return errors.Join(fill(file), file.Close())
}
