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
	"html"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

const ContentTypesPart = "[Content_Types].xml"

// packer compresses the parts of a workbook as they are written, while the next ones
// are made, and stores them sorted by name and without times: the library itself
// iterates over maps, so that the same workbook would differ from run to run.
type packer struct {
	w      io.Writer
	finish finishers
	name   string       // of the part that is being written, "" = none
	whole  bytes.Buffer // a part that its finisher needs in one piece
	names  map[string]bool
	chunks chan chunk  // to be compressed; nil when all were sent
	free   chan []byte // buffers to be used again, one for each chunk that may wait
	result chan compressed
}

// chunk is data of the current part, or the end of that part.
type chunk struct {
	data []byte
	name string // at the end of a part: its name
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

// compress compresses chunks until the channel is closed, at the fastest level, and
// returns their buffers to be used again.
func compress(chunks <-chan chunk, free chan<- []byte) compressed {
	all := compressed{parts: map[string]packed{}}
	var part packed
	var z *flate.Writer
	z, all.err = flate.NewWriter(&part.data, flate.BestSpeed)
	for c := range chunks {
		if c.name != "" {
			all.err = errors.Join(all.err, z.Close())
			all.parts[c.name] = part
			part = packed{}
			z.Reset(&part.data)
			continue
		}
		_, err := z.Write(c.data)
		all.err = errors.Join(all.err, err)
		part.size += len(c.data)
		part.sum = crc32.Update(part.sum, crc32.IEEETable, c.data)
		free <- c.data
	}
	return all
}

// blocks are data in pieces: a single slice would be held twice while it grows.
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

// waitingChunks is how many chunks may wait to be compressed.
const waitingChunks = 4

func newPacker(w io.Writer, finish finishers) *packer {
	p := &packer{
		w: w, finish: finishers{ContentTypesPart: sortContentTypes}, names: map[string]bool{},
		chunks: make(chan chunk, waitingChunks), free: make(chan []byte, waitingChunks), result: make(chan compressed, 1),
	}
	maps.Copy(p.finish, finish)
	for range waitingChunks {
		p.free <- nil
	}
	go func(chunks <-chan chunk) { p.result <- compress(chunks, p.free) }(p.chunks) // stop clears the field
	return p
}

// stop lets the compression end. It may be called twice.
func (p *packer) stop() {
	if p.chunks != nil {
		close(p.chunks)
		p.chunks = nil
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

// Create closes the part before and returns the writer of the next one.
func (p *packer) Create(name string) (io.Writer, error) {
	if err := p.end(); err != nil {
		return nil, err
	}
	if p.names[name] {
		return nil, fmt.Errorf("part %s is written twice", name)
	}
	p.name, p.names[name] = name, true
	if p.finisher(name) != nil {
		return &p.whole, nil
	}
	return p, nil
}

// finisher returns what finishes a part: what was asked for it, or what all of its kind
// need. It is nil if nothing does.
func (p *packer) finisher(name string) func(w io.Writer, part []byte) error {
	if finish := p.finish[name]; finish != nil || !strings.HasPrefix(name, notesParts) {
		return finish
	}
	return plainNotes
}

// AddFS is asked for by the library's interface; no workbook part comes from
// a file system.
func (p *packer) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Write sends a copy of the data to be compressed.
func (p *packer) Write(data []byte) (int, error) {
	p.chunks <- chunk{data: append((<-p.free)[:0], data...)}
	return len(data), nil
}

// end closes the part that is being written.
func (p *packer) end() error {
	if p.name == "" {
		return nil
	}
	if finish := p.finisher(p.name); finish != nil {
		if err := finish(p, p.whole.Bytes()); err != nil {
			return fmt.Errorf("part %s: %w", p.name, err)
		}
		p.whole.Reset()
	}
	p.chunks <- chunk{name: p.name}
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
	for _, name := range slices.Sorted(maps.Keys(p.finish)) {
		if !p.names[name] {
			return fmt.Errorf("there is no part %s to be finished", name)
		}
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
	for _, name := range slices.SortedFunc(maps.Keys(parts), partOrder) {
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

// partOrder puts the content types first, where readers of a stream look.
func partOrder(a, b string) int {
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

// notesParts is how the names of the parts of notes begin.
const notesParts = "xl/comments"

// spacedNote is the text of a note that asks for the space at its ends to be kept.
var spacedNote = regexp.MustCompile(`<t xml:space="preserve">([^<]*)</t>`)

// plainNotes takes the wish to keep space from the notes that have none at their ends:
// the library writes it on every one, and the format has no such attribute there
// (ECMA-376-1, 18.4.12).
func plainNotes(w io.Writer, part []byte) error {
	_, err := w.Write(spacedNote.ReplaceAllFunc(part, func(note []byte) []byte {
		text := spacedNote.FindSubmatch(note)[1]
		if words := html.UnescapeString(string(text)); strings.TrimSpace(words) != words {
			return note
		}
		return slices.Concat([]byte("<t>"), text, []byte("</t>"))
	}))
	return err
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
