package marked

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"

	"sillwright/io/xlsx"
)

// A workbook is an archive of parts, most of them XML. A copy is made by changing the
// text of a few parts at a few places; all else stays byte for byte, whichever program
// wrote it. A library that reads a workbook and writes it again keeps only what it knows.

// part is the text of a part with the changes that are to be made.
type part struct {
	text    []byte
	changes []change
}

// change puts other text in place of what stands from one byte up to another.
type change struct {
	from, to int
	with     string
}

func (p *part) replace(from, to int, with string) {
	p.changes = append(p.changes, change{from, to, with})
}

// result returns the text with its changes. Those at one place follow each other as they
// were made; that one reaches into another is an error.
func (p *part) result() ([]byte, error) {
	slices.SortStableFunc(p.changes, func(a, b change) int { return cmp.Compare(a.from, b.from) })
	var out []byte
	done := 0
	for _, c := range p.changes {
		if c.from < done {
			return nil, errForm
		}
		out = append(append(out, p.text[done:c.from]...), c.with...)
		done = c.to
	}
	return append(out, p.text[done:]...), nil
}

// element is an element where it stands in the text of a part.
type element struct {
	prefix, name string // "x:" and "row" of <x:row>
	attrs        []xml.Attr
	from, to     int // its start tag
	last, end    int // where its end tag begins, and behind that; of <row/> both are to
	children     []*element
}

// errForm says that a part has another form than workbooks have.
var errForm = errors.New("parts of an unusual form")

// sheetData holds the rows of a sheet. They are read by themselves, for they are many.
const sheetData = "sheetData"

// parse returns the root of a part, and what is in it down to a depth.
func (p *part) parse(depth int) (*element, error) {
	d := xml.NewDecoder(bytes.NewReader(p.text))
	top := &element{}
	open := []*element{top}
	for {
		from := int(d.InputOffset())
		t, err := d.RawToken() // offsets and prefixes as they stand
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, errForm
		}
		switch t := t.(type) {
		case xml.StartElement:
			e := &element{prefix: prefixOf(t.Name), name: t.Name.Local, from: from, to: int(d.InputOffset())}
			if in := open[len(open)-1]; in != nil && len(open) <= depth && in.name != sheetData {
				e.attrs = t.Copy().Attr
				in.children = append(in.children, e)
				open = append(open, e)
			} else {
				open = append(open, nil)
			}
		case xml.EndElement:
			if e := open[len(open)-1]; e != nil {
				e.last, e.end = from, int(d.InputOffset())
			}
			if open = open[:len(open)-1]; len(open) == 0 {
				return nil, errForm
			}
		}
	}
	if len(open) != 1 || len(top.children) != 1 {
		return nil, errForm
	}
	return top.children[0], nil
}

func prefixOf(n xml.Name) string {
	if n.Space == "" {
		return ""
	}
	return n.Space + ":"
}

// child returns the first child of a name, or nil.
func (e *element) child(name string) *element {
	for _, c := range e.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// named returns the children of a name.
func (e *element) named(name string) (list []*element) {
	for _, c := range e.children {
		if c.name == name {
			list = append(list, c)
		}
	}
	return list
}

// attr returns an attribute by its name without a prefix; "" where it is not.
func (e *element) attr(name string) string { return attrOf(e.attrs, name) }

func attrOf(attrs []xml.Attr, name string) string {
	for _, a := range attrs {
		if a.Name.Local == name && a.Name.Space != "xmlns" {
			return a.Value
		}
	}
	return ""
}

// namespace returns what the prefix of a root stands for.
func (e *element) namespace() string {
	for _, a := range e.attrs {
		if e.prefix == "" && a.Name.Space == "" && a.Name.Local == "xmlns" || a.Name.Space == "xmlns" && a.Name.Local+":" == e.prefix {
			return a.Value
		}
	}
	return ""
}

// prepend puts text in front of what is in an element.
func (p *part) prepend(e *element, text string) { p.insert(e, e.to, text) }

// append puts text behind what is in an element.
func (p *part) append(e *element, text string) { p.insert(e, e.last, text) }

func (p *part) insert(e *element, at int, text string) {
	if p.isEmpty(e) {
		p.replace(e.to-2, e.to, ">"+text+"</"+e.prefix+e.name+">")
		return
	}
	p.replace(at, at, text)
}

// isEmpty reports whether an element is one tag alone: <row/>.
func (p *part) isEmpty(e *element) bool { return bytes.HasSuffix(p.text[:e.to], []byte("/>")) }

// set gives an element's start tag attributes: names and values in turn.
func (p *part) set(e *element, pairs ...string) {
	end := e.to
	if p.isEmpty(e) {
		end -= 2 // the rest is for what may be put into it
	}
	p.replace(e.from, end, tagWith(string(p.text[e.from:end]), pairs...))
}

// tagWith returns a start tag, whole or without its end, with attributes, names and values
// in turn, in place of those of the same names; a value of "" takes one away.
func tagWith(tag string, pairs ...string) string {
	for ; len(pairs) > 1; pairs = pairs[2:] {
		name, value := pairs[0], pairs[1]
		written := ""
		if value != "" {
			written = " " + name + `="` + escape(value) + `"`
		}
		if at := regexp.MustCompile(`\s` + name + `\s*=\s*("[^"]*"|'[^']*')`).FindStringIndex(tag); at != nil {
			tag = tag[:at[0]] + written + tag[at[1]:]
			continue
		}
		end := strings.TrimRight(strings.TrimSuffix(strings.TrimSuffix(tag, ">"), "/"), " \t\r\n")
		tag = end + written + strings.TrimLeft(tag[len(end):], " \t\r\n")
	}
	return tag
}

// escape writes text as XML has it.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a builder takes all
	return b.String()
}

// maxCopied is how much XML is changed, or looked through for a change.
const maxCopied = 64 << 20

// parts is a workbook of which parts are changed, and to which others are added.
type parts struct {
	files  []*zip.File
	open   map[string]*part // by key
	added  []string         // names of parts that the workbook did not have
	unread int64            // bytes that may still be opened
}

func openParts(data []byte) (*parts, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errForm
	}
	return &parts{files: z.File, open: map[string]*part{}, unread: maxCopied}, nil
}

// keyOf is what all readers of workbooks understand by the name of a part.
func keyOf(name string) string {
	return strings.ToLower(strings.TrimPrefix(path.Clean("/"+strings.ReplaceAll(name, `\`, "/")), "/"))
}

func (w *parts) file(name string) *zip.File {
	for _, f := range w.files {
		if keyOf(f.Name) == keyOf(name) {
			return f
		}
	}
	return nil
}

// has reports whether there is a part of that name.
func (w *parts) has(name string) bool { return w.file(name) != nil || w.open[keyOf(name)] != nil }

// part opens a part.
func (w *parts) part(name string) (*part, error) {
	if p := w.open[keyOf(name)]; p != nil {
		return p, nil
	}
	f := w.file(name)
	if f == nil {
		return nil, errForm
	}
	if w.unread -= int64(f.UncompressedSize64); w.unread < 0 {
		return nil, errors.New("more than 64 MB of parts to look through")
	}
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(r)
	if err := errors.Join(err, r.Close()); err != nil {
		return nil, err
	}
	p := &part{text: text}
	w.open[keyOf(name)] = p
	return p, nil
}

// add adds a part.
func (w *parts) add(name, text string) {
	w.open[keyOf(name)] = &part{text: []byte(text)}
	w.added = append(w.added, name)
}

// addTyped adds a part under the first free of the names that a pattern makes of numbers,
// and says in the list of types what it is.
func (w *parts) addTyped(pattern, kind, text string) (name string, err error) {
	for n := 1; name == "" || w.has(name); n++ {
		name = fmt.Sprintf(pattern, n)
	}
	types, err := w.part(xlsx.ContentTypesPart)
	if err != nil {
		return "", err
	}
	w.add(name, text)
	return name, types.appendRoot(func(root *element) string {
		return fmt.Sprintf(`<%sOverride PartName="/%s" ContentType="application/vnd.openxmlformats-officedocument.%s"/>`, root.prefix, name, kind)
	})
}

// appendRoot puts at once an element behind those in the root.
func (p *part) appendRoot(text func(root *element) string) error {
	root, err := p.parse(2)
	if err != nil {
		return err
	}
	p.append(root, text(root))
	p.text, err = p.result()
	p.changes = nil
	return err
}

// relation is where a part leads.
type relation struct{ id, kind, target string } // kind as "…/relationships/comments"; target the name of a part

// is reports whether the relation is of a kind.
func (r relation) is(kind string) bool { return path.Base(r.kind) == kind }

// relationsPart returns where the relations of a part stand; those of "" are the whole
// workbook's.
func relationsPart(of string) string {
	dir, base := path.Split(of)
	return dir + "_rels/" + base + ".rels"
}

// relations returns the relations of a part to others of the workbook.
func (w *parts) relations(of string) (list []relation, err error) {
	if !w.has(relationsPart(of)) {
		return nil, nil
	}
	p, err := w.part(relationsPart(of))
	if err != nil {
		return nil, err
	}
	root, err := p.parse(2)
	if err != nil {
		return nil, err
	}
	for _, e := range root.named("Relationship") {
		target := e.attr("Target")
		switch {
		case e.attr("TargetMode") == "External":
		case strings.HasPrefix(target, "/"):
			target = path.Clean(target)[1:]
		default:
			target = path.Join(path.Dir(of), target)
		}
		list = append(list, relation{e.attr("Id"), e.attr("Type"), target})
	}
	return list, nil
}

// relate adds a relation to a part of the workbook, and returns its id.
func (w *parts) relate(of, kind, target string) (id string, err error) {
	name := relationsPart(of)
	if !w.has(name) {
		w.add(name, `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>`)
	}
	p, err := w.part(name)
	if err != nil {
		return "", err
	}
	err = p.appendRoot(func(root *element) string {
		for n := 1; id == "" || slices.ContainsFunc(root.children, func(e *element) bool { return e.attr("Id") == id }); n++ {
			id = fmt.Sprintf("rIdMarked%d", n)
		}
		return fmt.Sprintf(`<%sRelationship Id="%s" Type="%s" Target="/%s"/>`, root.prefix, id, kind, target)
	})
	return id, err
}

// bytes returns the workbook with its changes.
func (w *parts) bytes() ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	put := func(name string, p *part) error {
		text, err := p.result()
		if err != nil {
			return err
		}
		f, err := z.Create(name)
		if err == nil {
			_, err = f.Write(text)
		}
		return err
	}
	for _, f := range w.files {
		p := w.open[keyOf(f.Name)]
		if p == nil {
			if err := z.Copy(f); err != nil {
				return nil, err
			}
			continue
		}
		if err := put(f.Name, p); err != nil {
			return nil, err
		}
	}
	for _, name := range w.added {
		if err := put(name, w.open[keyOf(name)]); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
