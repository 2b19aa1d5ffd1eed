package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// errExists says that a file is there already.
var errExists = errors.New("it exists (--force replaces it)")

// checkTarget says whether a file may be written: not over an input, not over
// a folder, over an old file only by force.
func checkTarget(target string, force bool, inputs []string) error {
	info, err := os.Stat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist) && exists(target):
		return errors.New("it is a link to a file that is not there (remove the link, or choose another --out)")
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
	case info.Mode().Perm()&0o222 == 0 || !mayWrite(target):
		return errors.New("it is read-only, so it stays (choose another --out, or make it writable)")
	}
	return nil
}

// mayWrite reports whether this user may write to a file. A rename would replace
// another user's, too, wherever the folder allows it.
func mayWrite(file string) bool {
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		return !errors.Is(err, fs.ErrPermission)
	}
	return f.Close() == nil
}

// checkApart says whether a file is one of the other outputs of the run, however its
// path is written.
func checkApart(target string, outputs []string) error {
	others := map[string]string{}
	for _, o := range outputs {
		others[canonicalPath(o)] = o
	}
	if other, taken := sameTarget(canonicalPath(target), others); taken {
		return fmt.Errorf("it would replace %s, an output of this run (choose another name)", other)
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
	return writeFileLike(target, target, data, force)
}

// writeFileLike is writeFile with the permissions of another file, if that is there.
func writeFileLike(target, other string, data []byte, force bool) error {
	s, err := stage(target, other, data)
	if err != nil {
		return err
	}
	defer unfinished.discard(s.temporary)
	unfinished.placing.Lock()
	defer unfinished.placing.Unlock()
	return s.place(force)
}

// staged is an output that stands on the disk under a temporary name.
type staged struct {
	temporary, target string
	data              []byte
}

// stage writes data to the disk beside its target: beside the file itself, where the
// target is a symbolic link. It gets the permissions of the file like, if that is
// there.
func stage(target, like string, data []byte) (s staged, err error) {
	if file, err := filepath.EvalSymlinks(target); err == nil {
		target = file
	}
	f, err := unfinished.createTemporary(filepath.Dir(target))
	if err != nil {
		return s, err
	}
	removeAbandoned(f)
	defer func() {
		if err != nil {
			unfinished.discard(f.Name())
		}
	}()
	_, err = f.Write(data)
	if err == nil {
		err = keepPermissions(f, like)
	}
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return staged{f.Name(), target, data}, err
}

// keepPermissions gives a new file the owner, as far as this user may, and the
// permissions of another, if that is there. To a group that is not the other's the
// file is as open as to everybody.
func keepPermissions(f *os.File, like string) error {
	info, err := os.Stat(like)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	mode := info.Mode().Perm()
	if !keepOwner(f, info) {
		mode = mode&^0o070 | mode&0o007<<3
	}
	return f.Chmod(mode)
}

// place puts a staged file in its place. The caller holds unfinished.placing.
func (s staged) place(force bool) error {
	if !force {
		// A link fails when the target exists, where a rename would replace it.
		if err := os.Link(s.temporary, s.target); err == nil {
			return nil // the temporary name is discarded
		} else if errors.Is(err, fs.ErrExist) {
			return errExists
		}
	}
	if info, err := os.Stat(s.target); err == nil && hardLinks(info) > 1 {
		return overwrite(s.target, s.data)
	}
	err := os.Rename(s.temporary, s.target)
	if err == nil {
		unfinished.forget(s.temporary)
	}
	return err
}

// overwrite puts data in a file that has several names, from which a rename would
// part it. Should that fail half way, as on a full disk, what was there is written
// back.
func overwrite(target string, data []byte) error {
	before, err := os.ReadFile(target)
	if err != nil {
		return err
	}
	f, err := os.OpenFile(target, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if err = fill(f, data); err != nil {
		if lost := fill(f, before); lost != nil {
			err = fmt.Errorf("%w, and what was there could not be written back", reason(err))
		}
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}

// fill makes data all that a file holds. It is cut to length last: what was there
// keeps its room on the disk until then.
func fill(f *os.File, data []byte) error {
	_, err := f.WriteAt(data, 0)
	if err == nil {
		err = f.Truncate(int64(len(data)))
	}
	if err == nil {
		err = f.Sync()
	}
	return err
}

// outputSet is several outputs of one command: all are checked, then all stand
// on the disk, before the first is put in its place.
type outputSet struct {
	dir    string
	force  bool
	inputs []string // of the run, which no output replaces
	others []string // outputs of the run that are written before, which none of these replaces
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
	if err == nil {
		err = checkApart(target, slices.Concat(o.others, o.names))
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
	removeIfEmpty, err := unfinished.makeFolder(o.dir)
	if err != nil {
		return fileError{o.dir, reason(err)}
	}
	defer removeIfEmpty()
	set := make([]staged, 0, len(o.names))
	defer func() {
		for _, s := range set {
			unfinished.discard(s.temporary)
		}
	}()
	for i, name := range o.names {
		s, err := stage(name, name, o.data[i])
		if err != nil {
			return fileError{name, reason(err)}
		}
		set = append(set, s)
	}
	unfinished.placing.Lock()
	defer unfinished.placing.Unlock()
	for i, s := range set {
		if err := s.place(o.force); err != nil {
			return fileError{o.names[i], reason(err)}
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
