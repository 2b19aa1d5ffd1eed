package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// errExists says that a file is there already.
var errExists = errors.New("it exists; --force replaces it")

// checkTarget says whether a file may be written: not over an input, not over
// a folder, over an old file only by force.
func checkTarget(target string, force bool, inputs []string) error {
	info, err := os.Stat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.IsDir():
		return errors.New("it is a folder; choose another --out")
	}
	for _, in := range inputs {
		if other, err := os.Stat(in); err == nil && os.SameFile(info, other) {
			return errors.New("it is an input of this run, and inputs are never overwritten; choose another --out")
		}
	}
	if !force {
		return errExists
	}
	return nil
}

// writeFile puts data in place of target whole or not at all: it writes beside
// it, then renames. Without force a file that has appeared meanwhile stays.
func writeFile(target string, data []byte, force bool) (err error) {
	f, err := os.CreateTemp(filepath.Dir(target), ".sillwright-*.tmp")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(f.Name())
		}
	}()
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	if !force {
		// A link fails when the target exists, where a rename would replace it.
		if err := os.Link(f.Name(), target); err == nil {
			return os.Remove(f.Name())
		} else if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: %w", target, errExists)
		}
	}
	return os.Rename(f.Name(), target)
}
