package xlsx

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/xml"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"maps"
	"slices"

	"github.com/xuri/excelize/v2"
)

const ContentTypesPart = "[Content_Types].xml"

// packer compresses the parts of a workbook as they come, while the next ones are
// made, and writes them in order of name, without times: the library itself visits
// maps, so that the same workbook would differ from run to run.
type packer struct {
	w      io.Writer
	finish finishers
	name   string       // of the part that is being written, "" = none
	whole  bytes.Buffer // of a part that is finished as a whole
	names  map[string]bool
	pieces chan piece  // to be compressed; nil when no more come
	spare  chan []byte // pieces that were compressed: as many as may wait
	result chan compressed
}

// piece is part of a part, or what ends it.
type piece struct {
	data []byte
	name string // of the part that ends here
}

// packed is a part as the archive holds it.
type packed struct {
	data blocks
	size int
	sum  uint32
}

// compressed is all that was packed, by names.
type compressed struct {
	parts map[string]packed
	err   error
}

// compress compresses pieces until no more come, as fast as can be, and gives
// them back.
func compress(pieces <-chan piece, spare chan<- []byte) compressed {
	all := compressed{parts: map[string]packed{}}
	var part packed
	var z *flate.Writer
	z, all.err = flate.NewWriter(&part.data, flate.BestSpeed)
	for p := range pieces {
		if p.name != "" {
			all.err = errors.Join(all.err, z.Close())
			all.parts[p.name] = part
			part = packed{}
			z.Reset(&part.data)
			continue
		}
		_, err := z.Write(p.data)
		all.err = errors.Join(all.err, err)
		part.size += len(p.data)
		part.sum = crc32.Update(part.sum, crc32.IEEETable, p.data)
		spare <- p.data
	}
	return all
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

// waitingPieces is how many pieces may wait to be compressed.
const waitingPieces = 4

func newPacker(w io.Writer, finish finishers) *packer {
	p := &packer{
		w: w, finish: finishers{ContentTypesPart: sortContentTypes}, names: map[string]bool{},
		pieces: make(chan piece, waitingPieces), spare: make(chan []byte, waitingPieces), result: make(chan compressed, 1),
	}
	maps.Copy(p.finish, finish)
	for range waitingPieces {
		p.spare <- nil
	}
	go func(pieces <-chan piece) { p.result <- compress(pieces, p.spare) }(p.pieces) // stop clears the field
	return p
}

// stop ends the compressing; it may have ended.
func (p *packer) stop() {
	if p.pieces != nil {
		close(p.pieces)
		p.pieces = nil
	}
}

// Save writes a workbook through a packer.
func Save(f *excelize.File, parts finishers) ([]byte, error) {
	var p *packer
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter {
		p = newPacker(w, parts)
		return p
	})
	buf, err := f.WriteToBuffer()
	if p != nil {
		p.stop()
	}
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
	if p.names[name] {
		return nil, fmt.Errorf("part %s is written twice", name)
	}
	p.name, p.names[name] = name, true
	if p.finish[name] != nil {
		return &p.whole, nil
	}
	return p, nil
}

// AddFS is asked for by the library's interface; no workbook part comes from
// a file system.
func (p *packer) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Write hands a copy of a piece of a part on to be compressed.
func (p *packer) Write(data []byte) (int, error) {
	p.pieces <- piece{data: append((<-p.spare)[:0], data...)}
	return len(data), nil
}

// end closes the part that has come.
func (p *packer) end() error {
	if p.name == "" {
		return nil
	}
	if finish := p.finish[p.name]; finish != nil {
		if err := finish(p, p.whole.Bytes()); err != nil {
			return fmt.Errorf("part %s: %w", p.name, err)
		}
		p.whole.Reset()
	}
	p.pieces <- piece{name: p.name}
	p.name = ""
	return nil
}

// headRoom is more than an archive needs for a part's heads, in bytes.
const headRoom = 256

// Close writes the archive.
func (p *packer) Close() error {
	if err := p.end(); err != nil {
		return err
	}
	p.stop()
	all := <-p.result
	if all.err != nil {
		return all.err
	}
	parts := all.parts
	if buf, ok := p.w.(*bytes.Buffer); ok {
		size := 0
		for _, part := range parts {
			size += part.data.size() + headRoom
		}
		buf.Grow(size) // a buffer that grows as it is written holds twice as much at the end
	}
	z := zip.NewWriter(p.w)
	for _, name := range slices.SortedFunc(maps.Keys(parts), PartOrder) {
		part := parts[name]
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
		delete(parts, name)
	}
	return z.Close()
}

// PartOrder puts the content types first, where readers of a stream look.
func PartOrder(a, b string) int {
	if a == b {
		return 0
	}
	if a == ContentTypesPart {
		return -1
	}
	if b == ContentTypesPart {
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
