package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/xml"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"
	"io/fs"
	"maps"
	"slices"

	"github.com/xuri/excelize/v2"
)

const contentTypesPart = "[Content_Types].xml"

// packer compresses the parts of a workbook as they come and writes them in
// order of name, without times: the library itself visits maps, so that the same
// workbook would differ from run to run. Compression is the fastest there is.
type packer struct {
	w      io.Writer
	parts  map[string]packed
	finish finishers
	name   string       // of the part that is being written, "" = none
	whole  bytes.Buffer // of a part that is finished as a whole
	tail   []byte       // of one that is packed as it comes: what may be the begin of a bare formula
	out    bytes.Buffer
	flate  *flate.Writer
	sum    hash.Hash32
	size   int
	asIs   bool // the workbook is somebody else's: nothing is added to its sheets
}

// packed is a part as the archive holds it.
type packed struct {
	data []byte
	size int
	sum  uint32
}

// finishers add to parts, by their names, what the library cannot say.
type finishers map[string]func(part []byte) ([]byte, error)

// newPacker returns the hook that the library calls to make its archive.
func newPacker(finish finishers) func(io.Writer) excelize.ZipWriter {
	return func(w io.Writer) excelize.ZipWriter {
		return &packer{w: w, parts: map[string]packed{}, finish: finish}
	}
}

// Create returns the writer of one part; it ends the part before.
func (p *packer) Create(name string) (io.Writer, error) {
	if err := p.end(); err != nil {
		return nil, err
	}
	if _, twice := p.parts[name]; twice {
		return nil, fmt.Errorf("part %s is written twice", name)
	}
	p.name = name
	if p.isWhole() {
		return &p.whole, nil
	}
	return p, nil
}

// isWhole reports whether the part is finished as a whole.
func (p *packer) isWhole() bool {
	return p.name == contentTypesPart || p.asIs || p.finish[p.name] != nil
}

// AddFS is asked for by the library's interface; no workbook part comes from
// a file system.
func (p *packer) AddFS(fs.FS) error { return errors.ErrUnsupported }

// An empty text is a result too: without <v> it reads as "never computed".
const bareFormula, fullFormula = `</f></c>`, `</f><v></v></c>`

// Write packs what comes of a part, with a value in every formula.
func (p *packer) Write(data []byte) (int, error) {
	n := len(data)
	if len(p.tail) > 0 {
		data = append(p.tail, data...)
	}
	// What may be the begin of a bare formula waits for the rest.
	keep := min(len(data), len(bareFormula)-1)
	cut := len(data) - keep
	if i := bytes.LastIndex(data, []byte(bareFormula)); i >= 0 {
		cut = max(cut, i+len(bareFormula))
	}
	err := p.pack(bytes.ReplaceAll(data[:cut], []byte(bareFormula), []byte(fullFormula)))
	p.tail = bytes.Clone(data[cut:])
	return n, err
}

// pack compresses a piece of a part.
func (p *packer) pack(data []byte) (err error) {
	if p.flate == nil {
		p.sum = crc32.NewIEEE()
		p.flate, err = flate.NewWriter(&p.out, flate.BestSpeed)
	}
	if err == nil {
		_, err = p.flate.Write(data)
	}
	_, _ = p.sum.Write(data) // a hash takes anything
	p.size += len(data)
	return err
}

// end closes the part that has come.
func (p *packer) end() error {
	if p.name == "" {
		return nil
	}
	data, err := p.tail, error(nil)
	if p.isWhole() {
		data, err = p.finished()
	}
	if err == nil {
		err = p.pack(data)
	}
	if err == nil {
		err = p.flate.Close()
	}
	if err != nil {
		return fmt.Errorf("part %s: %w", p.name, err)
	}
	p.parts[p.name] = packed{bytes.Clone(p.out.Bytes()), p.size, p.sum.Sum32()}
	p.name, p.tail, p.size = "", nil, 0
	p.whole.Reset()
	p.out.Reset()
	p.sum.Reset()
	p.flate.Reset(&p.out)
	return nil
}

// finished returns a part with what the library cannot say.
func (p *packer) finished() ([]byte, error) {
	if p.name == contentTypesPart {
		return sortContentTypes(p.whole.Bytes())
	}
	if p.asIs {
		return p.whole.Bytes(), nil
	}
	data := bytes.ReplaceAll(p.whole.Bytes(), []byte(bareFormula), []byte(fullFormula))
	return p.finish[p.name](data)
}

// Close writes the archive.
func (p *packer) Close() error {
	if err := p.end(); err != nil {
		return err
	}
	z := zip.NewWriter(p.w)
	for _, name := range slices.SortedFunc(maps.Keys(p.parts), partOrder) {
		part := p.parts[name]
		w, err := z.CreateRaw(&zip.FileHeader{
			Name: name, Method: zip.Deflate, CRC32: part.sum,
			CompressedSize64: uint64(len(part.data)), UncompressedSize64: uint64(part.size),
		})
		if err != nil {
			return err
		}
		if _, err := w.Write(part.data); err != nil {
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
