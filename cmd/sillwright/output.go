package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// errExists says that a file is there already.
var errExists = errors.New("it exists (--force replaces it)")

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
		return errors.New("it is a folder (choose another --out)")
	case !info.Mode().IsRegular():
		return errors.New("it is not an ordinary file (choose another --out)")
	}
	for _, in := range inputs {
		if other, err := os.Stat(in); err == nil && os.SameFile(info, other) {
			return errors.New("it is an input of this run, and inputs are never overwritten (choose another --out)")
		}
	}
	switch {
	case !force:
		return errExists
	case info.Mode().Perm()&0o222 == 0:
		return errors.New("it is read-only, so it stays (choose another --out, or make it writable)")
	}
	return nil
}

// Temporary files stand beside their targets, so that a rename is enough.
const (
	temporary = ".sillwright-*.tmp"
	// A file is written in seconds; one that is this old was left by a run that
	// was killed.
	abandoned = 10 * time.Minute
)

// removeAbandoned removes what killed runs have left in the folder of a temporary
// file. Ages are told by the folder's own clock, from the file that was just
// made. Should a slow run lose its file all the same, its rename fails and the
// old file stays.
func removeAbandoned(f *os.File) {
	now, err := f.Stat()
	if err != nil {
		return
	}
	dir := filepath.Dir(f.Name())
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		ours, _ := filepath.Match(temporary, e.Name())
		info, err := e.Info()
		if ours && err == nil && info.Mode().IsRegular() && now.ModTime().Sub(info.ModTime()) > abandoned {
			_ = os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// save writes what a writer of a format returned, data or an error, to a file.
func save(target string, data []byte, err error, force bool) error {
	if err == nil {
		err = writeFile(target, data, force)
	}
	if err != nil {
		return writeError(target, err)
	}
	return nil
}

// writeError is the error of a file that could not be written.
func writeError(target string, err error) error {
	return fileError{target, fmt.Errorf("not written: %w", reason(err))}
}

// writeFile puts data in place of target whole or not at all. Without force a
// file that has appeared meanwhile stays.
func writeFile(target string, data []byte, force bool) error {
	staged, err := stage(target, data)
	if err != nil {
		return err
	}
	return putInPlace(staged, target, force)
}

// stage writes data to the disk beside its target, and returns the temporary
// file.
func stage(target string, data []byte) (name string, err error) {
	f, err := os.CreateTemp(filepath.Dir(target), temporary)
	if err != nil {
		return "", err
	}
	removeAbandoned(f)
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
	return f.Name(), err
}

// putInPlace renames a staged file to its target; it is gone in any case.
func putInPlace(staged, target string, force bool) (err error) {
	defer func() {
		if err != nil {
			_ = os.Remove(staged)
		}
	}()
	if !force {
		// A link fails when the target exists, where a rename would replace it.
		if err := os.Link(staged, target); err == nil {
			return os.Remove(staged)
		} else if errors.Is(err, fs.ErrExist) {
			return errExists
		}
	}
	return os.Rename(staged, target)
}

// outputSet is several outputs of one command: all are checked, then all stand
// on the disk, before the first is put in its place.
type outputSet struct {
	dir    string
	force  bool
	inputs []string // of the run, which no output replaces
	names  []string
	data   [][]byte
	errs   []fileError
}

func newOutputSet(dir string, force bool, inputs ...string) *outputSet {
	return &outputSet{dir: dir, force: force, inputs: inputs}
}

// add adds an output, of which err says why it could not be made.
func (o *outputSet) add(name string, data []byte, err error) {
	target := filepath.Join(o.dir, name)
	if err == nil {
		err = checkTarget(target, o.force, o.inputs)
	}
	if err != nil {
		o.errs = append(o.errs, fileError{target, reason(err)})
	}
	o.names, o.data = append(o.names, target), append(o.data, data)
}

// refuseBeside lets the set fail for each of the files that is there.
func (o *outputSet) refuseBeside(why error, names ...string) {
	for _, name := range names {
		if target := filepath.Join(o.dir, name); exists(target) {
			o.errs = append(o.errs, fileError{target, why})
		}
	}
}

// exists reports whether there is something of that name.
func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// write writes all outputs, or none and says why.
func (o *outputSet) write() error {
	if len(o.errs) > 0 {
		return joinAlike(o.errs)
	}
	if err := os.MkdirAll(o.dir, 0o755); err != nil {
		return fileError{o.dir, reason(err)}
	}
	staged := make([]string, 0, len(o.names))
	defer func() {
		for _, s := range staged {
			_ = os.Remove(s) // what is in place has another name by then
		}
	}()
	for i, name := range o.names {
		s, err := stage(name, o.data[i])
		if err != nil {
			return fileError{name, reason(err)}
		}
		staged = append(staged, s)
	}
	for i, name := range o.names {
		if err := putInPlace(staged[i], name, o.force); err != nil {
			return fileError{name, reason(err)}
		}
	}
	return nil
}

// joinAlike joins the errors of files; those that say the same become one, of the
// first file and the number of the others.
func joinAlike(errs []fileError) error {
	count := map[string]int{}
	for _, e := range errs {
		count[e.err.Error()]++
	}
	var out []error
	for _, e := range errs {
		others := count[e.err.Error()] - 1
		if others < 0 {
			continue // with the first
		}
		if others > 0 {
			e.file += " and " + plural(others, "more file")
		}
		out = append(out, e)
		delete(count, e.err.Error())
	}
	return errors.Join(out...)
}
