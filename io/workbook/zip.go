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
	out    blocks
	flate  *flate.Writer
	sum    hash.Hash32
	size   int
}

// packed is a part as the archive holds it.
type packed struct {
	data blocks
	size int
	sum  uint32
}

// blocks are data in pieces: what grows as a whole is held twice as it does.
type blocks [][]byte

func (b *blocks) Write(data []byte) (int, error) {
	const size = 64 << 10
	n := len(data)
	for len(data) > 0 {
		last := len(*b) - 1
		if last < 0 || len((*b)[last]) == cap((*b)[last]) {
			*b = append(*b, make([]byte, 0, max(len(data), min(size, 2*b.size()))))
			last++
		}
		block := &(*b)[last]
		more := min(len(data), cap(*block)-len(*block))
		*block, data = append(*block, data[:more]...), data[more:]
	}
	return n, nil
}

func (b blocks) size() (n int) {
	for _, block := range b {
		n += len(block)
	}
	return n
}

// finishers write parts, by their names, with what the library cannot say.
type finishers map[string]func(w io.Writer, part []byte) error

// newPacker returns the hook that the library calls to make its archive.
func newPacker(finish finishers) func(io.Writer) excelize.ZipWriter {
	return func(w io.Writer) excelize.ZipWriter {
		p := &packer{w: w, parts: map[string]packed{}, finish: finishers{contentTypesPart: sortContentTypes}, sum: crc32.NewIEEE()}
		maps.Copy(p.finish, finish)
		return p
	}
}

// save writes a workbook through the packer.
func save(f *excelize.File, parts finishers) ([]byte, error) {
	f.SetZipWriter(newPacker(parts))
	buf, err := f.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
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
	if p.finish[name] != nil {
		return &p.whole, nil
	}
	return p, nil
}

// AddFS is asked for by the library's interface; no workbook part comes from
// a file system.
func (p *packer) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Write compresses a piece of a part.
func (p *packer) Write(data []byte) (n int, err error) {
	if p.flate == nil {
		p.flate, err = flate.NewWriter(&p.out, flate.BestSpeed)
	}
	if err == nil {
		_, err = p.flate.Write(data)
	}
	_, _ = p.sum.Write(data) // a hash takes anything
	p.size += len(data)
	return len(data), err
}

// end closes the part that has come.
func (p *packer) end() (err error) {
	if p.name == "" {
		return nil
	}
	if finish := p.finish[p.name]; finish != nil {
		err = finish(p, p.whole.Bytes())
	}
	if err == nil {
		_, err = p.Write(nil) // a part may be empty
	}
	if err == nil {
		err = p.flate.Close()
	}
	if err != nil {
		return fmt.Errorf("part %s: %w", p.name, err)
	}
	p.parts[p.name] = packed{p.out, p.size, p.sum.Sum32()}
	p.name, p.size, p.out = "", 0, nil
	p.whole.Reset()
	p.sum.Reset()
	p.flate.Reset(&p.out)
	return nil
}

// headRoom is more than an archive needs for a part's heads, in bytes.
const headRoom = 256

// Close writes the archive.
func (p *packer) Close() error {
	if err := p.end(); err != nil {
		return err
	}
	if buf, ok := p.w.(*bytes.Buffer); ok {
		all := 0
		for _, part := range p.parts {
			all += part.data.size() + headRoom
		}
		buf.Grow(all) // a buffer that grows as it is written holds twice as much at the end
	}
	z := zip.NewWriter(p.w)
	for _, name := range slices.SortedFunc(maps.Keys(p.parts), partOrder) {
		part := p.parts[name]
		w, err := z.CreateRaw(&zip.FileHeader{
			Name: name, Method: zip.Deflate, CRC32: part.sum,
			CompressedSize64: uint64(part.data.size()), UncompressedSize64: uint64(part.size),
		})
		if err != nil {
			return err
		}
		for _, block := range part.data {
			if _, err := w.Write(block); err != nil {
				return err
			}
		}
		delete(p.parts, name)
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
func outlined(frame []byte) []byte {
	const format, level = `<sheetFormatPr `, `outlineLevelCol="1" `
	if bytes.Contains(frame, []byte(level)) {
		return frame
	}
	return bytes.Replace(frame, []byte(format), []byte(format+level), 1)
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

func sortContentTypes(w io.Writer, part []byte) error {
	var t contentTypes
	if err := xml.Unmarshal(part, &t); err != nil {
		return err
	}
	slices.SortFunc(t.Defaults, func(a, b contentDefault) int { return cmp.Compare(a.Extension, b.Extension) })
	slices.SortFunc(t.Overrides, func(a, b contentOverride) int { return cmp.Compare(a.PartName, b.PartName) })
	sorted, err := xml.Marshal(t)
	if err == nil {
		_, err = w.Write(append([]byte(xml.Header), sorted...))
	}
	return err
}
