package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"

	"github.com/xuri/excelize/v2"
)

const contentTypesPart = "[Content_Types].xml"

// packer collects the parts of a workbook and writes them in order of name,
// without times and with the fastest compression: the library itself visits
// maps, so that the same workbook would differ from run to run.
type packer struct {
	w      io.Writer
	parts  map[string]*bytes.Buffer
	finish finishers
}

// finishers add to parts, by their names, what the library cannot say.
type finishers map[string]func(part []byte) ([]byte, error)

// newPacker returns the hook that the library calls to make its archive.
func newPacker(finish finishers) func(io.Writer) excelize.ZipWriter {
	return func(w io.Writer) excelize.ZipWriter {
		return &packer{w: w, parts: map[string]*bytes.Buffer{}, finish: finish}
	}
}

// Create returns the writer of one part.
func (p *packer) Create(name string) (io.Writer, error) {
	if _, twice := p.parts[name]; twice {
		return nil, fmt.Errorf("part %s is written twice", name)
	}
	p.parts[name] = new(bytes.Buffer)
	return p.parts[name], nil
}

// AddFS is asked for by the library's interface; no workbook part comes from
// a file system.
func (p *packer) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Close writes the archive.
func (p *packer) Close() error {
	z := zip.NewWriter(p.w)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(w, flate.BestSpeed)
	})
	for _, name := range slices.SortedFunc(maps.Keys(p.parts), partOrder) {
		data, err := p.finished(name)
		if err != nil {
			return fmt.Errorf("part %s: %w", name, err)
		}
		w, err := z.Create(name)
		if err != nil {
			return err
		}
		if _, err := w.Write(data); err != nil {
			return err
		}
	}
	return z.Close()
}

// partOrder puts the content types first, where readers of a stream look.
func partOrder(a, b string) int {
	if a == b {
		return 0
	}
	if a == contentTypesPart {
		return -1
	}
	if b == contentTypesPart {
		return 1
	}
	return cmp.Compare(a, b)
}

// finished returns a part with what the library cannot say.
func (p *packer) finished(name string) ([]byte, error) {
	data := p.parts[name].Bytes()
	if name == contentTypesPart {
		return sortContentTypes(data)
	}
	// An empty text is a result too: without <v> it reads as "never computed".
	const bare, full = `</f></c>`, `</f><v></v></c>`
	if bytes.Contains(data, []byte(bare)) {
		data = bytes.ReplaceAll(data, []byte(bare), []byte(full))
	}
	if finish, ok := p.finish[name]; ok {
		return finish(data)
	}
	return data, nil
}

// outlined makes room in a worksheet for the gutter of folded columns, as wide
// as this attribute says.
func outlined(data []byte) ([]byte, error) {
	const format, level = `<sheetFormatPr `, `outlineLevelCol="1" `
	if bytes.Contains(data, []byte(level)) {
		return data, nil
	}
	return bytes.Replace(data, []byte(format), []byte(format+level), 1), nil
}

// contentTypes is the part that says what each part is.
type contentTypes struct {
	XMLName   xml.Name          `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Defaults  []contentDefault  `xml:"Default"`
	Overrides []contentOverride `xml:"Override"`
}

type contentDefault struct {
	Extension   string `xml:"Extension,attr"`
	ContentType string `xml:"ContentType,attr"`
}

type contentOverride struct {
	PartName    string `xml:"PartName,attr"`
	ContentType string `xml:"ContentType,attr"`
}

func sortContentTypes(data []byte) ([]byte, error) {
	var t contentTypes
	if err := xml.Unmarshal(data, &t); err != nil {
		return nil, err
	}
	slices.SortFunc(t.Defaults, func(a, b contentDefault) int { return cmp.Compare(a.Extension, b.Extension) })
	slices.SortFunc(t.Overrides, func(a, b contentOverride) int { return cmp.Compare(a.PartName, b.PartName) })
	sorted, err := xml.Marshal(t)
	return append([]byte(xml.Header), sorted...), err
}
