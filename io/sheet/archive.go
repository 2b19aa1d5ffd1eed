package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"sillwright/estimate"
)

// archive is a workbook's zip archive of which every part that is used was read
// to its end once, so that what is damaged is known before anything is believed.
type archive struct {
	parts    map[string]*zip.File // by name, lower case
	unpacked uint64               // bytes of the parts that were read through
}

// openArchive checks a workbook's archive: sizes as declared before anything
// is unpacked, no two parts of one name, every checksum right. Sheets are
// checked when it is known which are wanted; what never is, not at all.
func openArchive(data io.ReaderAt, size int64) (*archive, error) {
	r, err := zip.NewReader(data, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, refuse("the workbook is cut short or damaged", "copy or download it again, or take a backup")
	}
	if len(r.File) > MaxParts {
		return nil, refuse(fmt.Sprintf("the workbook has %d parts, more than %d", len(r.File), MaxParts), "copy the sheets that matter into a new workbook")
	}
	a := &archive{parts: make(map[string]*zip.File, len(r.File))}
	for _, f := range r.File {
		key := partKey(f.Name)
		if a.parts[key] != nil {
			return nil, malformed(estimate.Place{}, fmt.Sprintf("the workbook has two parts called %q: it", f.Name))
		}
		a.parts[key] = f
	}
	if err := a.name(); err != nil {
		return nil, err
	}
	for _, f := range r.File {
		if isBulk(partKey(f.Name)) {
			continue
		}
		if err := a.check(f); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// bulk are the folders of parts that may be large and are not all used.
var bulk = []string{"xl/worksheets/", "xl/charts/", "xl/drawings/", "xl/media/", "xl/tables/", "xl/embeddings/"}

func isBulk(key string) bool {
	return slices.ContainsFunc(bulk, func(folder string) bool { return strings.HasPrefix(key, folder) })
}

// check reads a part to its end, within what all parts may unpack to.
func (a *archive) check(f *zip.File) error {
	// Comparing before adding keeps a lying size from wrapping the sum.
	if f.UncompressedSize64 > maxUnpacked-a.unpacked {
		return refuse("the workbook unpacks to more than 256 MB", "copy the sheets that matter into a new workbook")
	}
	a.unpacked += f.UncompressedSize64
	if err := readThrough(f); err != nil {
		return refuse(fmt.Sprintf("the workbook is damaged: its part %q is not what was saved", f.Name), "copy or download it again, or take a backup")
	}
	return nil
}

// partKey is a part's name as all readers of workbooks understand it.
func partKey(name string) string {
	return strings.ToLower(strings.TrimPrefix(path.Clean("/"+strings.ReplaceAll(name, `\`, "/")), "/"))
}

// notWorkbooks tells archives of other kinds by a part that only they have.
var notWorkbooks = []signature{
	{"xl/workbook.bin", "this is a binary workbook (.xlsb)", saveAsWorkbook},
	{"word/document.xml", "this is a word processor's text, not a workbook", "copy its table into a workbook"},
	{"ppt/presentation.xml", "this is a presentation, not a workbook", "copy its table into a workbook"},
	{"index/document.iwa", "this is a workbook of another kind", "export it as an .xlsx workbook"},
}

// name refuses an archive that is no workbook by what it is.
func (a *archive) name() error {
	if f := a.parts["mimetype"]; f != nil {
		kind, err := readPart(f, 256)
		if err == nil && bytes.Contains(kind, []byte("opendocument.spreadsheet")) {
			return refuse("this is an OpenDocument spreadsheet (.ods)", saveAsWorkbook)
		}
		return refuse("this is a document, not a workbook", saveAsWorkbook)
	}
	for _, s := range notWorkbooks {
		if a.parts[s.start] != nil {
			return refuse(s.what, s.do)
		}
	}
	if a.parts["_rels/.rels"] == nil || a.parts["[content_types].xml"] == nil {
		return refuse("this is a zip archive without a workbook", "unpack it and name the file inside")
	}
	return nil
}

// has reports whether some part's name begins so.
func (a *archive) has(prefix string) bool {
	for key := range a.parts {
		if strings.HasPrefix(key, prefix) {
			return true
		}
	}
	return false
}

// needed returns a workbook of nothing but the parts that are read, so that no
// picture, chart or unwanted sheet is ever unpacked into memory.
func (a *archive) needed(p *plan, want func(string) bool) ([]byte, error) {
	keys := []string{"[content_types].xml", "_rels/.rels", p.main, p.rels, "xl/sharedstrings.xml", "xl/styles.xml"}
	if f := a.parts["xl/styles.xml"]; f != nil {
		looks, err := readStyles(f)
		if err != nil {
			return nil, err
		}
		p.looks = looks
	}
	for _, s := range p.sheets {
		if key := partKey(s.part); want(s.name) {
			if isBulk(key) {
				if err := a.check(a.parts[key]); err != nil {
					return nil, err
				}
			}
			keys = append(keys, s.part)
		}
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	var total uint64
	copied := map[string]bool{}
	for _, key := range keys {
		key = partKey(key)
		f := a.parts[key]
		if f == nil || copied[key] {
			continue
		}
		copied[key] = true
		if total += f.UncompressedSize64; total > maxRead {
			return nil, refuse("the sheets to read unpack to more than 128 MB", "copy the tables that matter into a new workbook")
		}
		if err := w.Copy(f); err != nil {
			return nil, malformed(estimate.Place{}, fmt.Sprintf("the part %q of the workbook", f.Name))
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// readThrough reads a part to its end, which checks its size and checksum.
func readThrough(f *zip.File) error {
	const encrypted = 1
	if f.Flags&encrypted != 0 {
		return zip.ErrAlgorithm
	}
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	_, err = io.Copy(io.Discard, io.LimitReader(r, maxUnpacked+1))
	return err
}

func readPart(f *zip.File, limit int64) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(io.LimitReader(r, limit))
}
