package sheet

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"sillwright/estimate"
)

// plan is where a workbook keeps what is read.
type plan struct {
	main, rels string // the workbook part and its relations
	sheets     []sheetPart
	texts      textStore
	looks      looks
	links      bool
	macros     bool
}

type sheetPart struct {
	name, part string
	hidden     bool
}

// relationships is a .rels part.
type relationships struct {
	List []struct {
		ID     string `xml:"Id,attr"`
		Type   string `xml:"Type,attr"`
		Target string `xml:"Target,attr"`
	} `xml:"Relationship"`
}

// contents is what is needed of the workbook part. The id attribute stands in
// a namespace that differs between the two editions of the format, so it is
// taken by its local name.
type contents struct {
	Sheets []struct {
		Attrs []xml.Attr `xml:",any,attr"`
	} `xml:"sheets>sheet"`
}

// plan follows the relations from the archive's root to its worksheets.
func (a *archive) plan() (*plan, error) {
	var root, rels relationships
	var book contents
	if err := a.decode("_rels/.rels", &root); err != nil {
		return nil, err
	}
	main := ""
	for _, r := range root.List {
		if path.Base(r.Type) == "officeDocument" {
			main = strings.TrimPrefix(r.Target, "/")
			break
		}
	}
	if main == "" || a.parts[partKey(main)] == nil {
		return nil, refuse("this is a zip archive without a workbook", "unpack it and name the file inside")
	}
	if err := a.decode(main, &book); err != nil {
		return nil, err
	}
	p := &plan{main: main, rels: path.Join(path.Dir(main), "_rels", path.Base(main)+".rels"),
		links: a.has("xl/externallinks/"), macros: a.has("xl/vbaproject.bin")}
	if err := a.decode(p.rels, &rels); err != nil {
		return nil, err
	}
	if err := p.addSheets(a, book, rels, path.Dir(main)); err != nil {
		return nil, err
	}
	if f := a.parts["xl/sharedstrings.xml"]; f != nil {
		var err error
		if p.texts, err = readTexts(f); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (p *plan) addSheets(a *archive, book contents, rels relationships, dir string) error {
	seen := map[string]bool{}
	for _, s := range book.Sheets {
		at := map[string]string{}
		for _, attr := range s.Attrs {
			at[attr.Name.Local] = attr.Value
		}
		name := at["name"]
		if key := strings.ToLower(name); seen[key] {
			return malformed(estimate.Place{}, fmt.Sprintf("the workbook has two sheets called %q: it", name))
		} else {
			seen[key] = true
		}
		if strings.HasPrefix(name, "'") || strings.HasSuffix(name, "'") {
			return refuse(fmt.Sprintf("the sheet name %q begins or ends with an apostrophe", name), "rename the sheet")
		}
		part, kind := rels.target(at["id"], dir)
		switch {
		case kind != "" && kind != "worksheet":
			continue // a chart or a macro sheet has no table
		case a.parts[partKey(part)] == nil:
			return malformed(estimate.Place{Sheet: name}, "the sheet")
		}
		p.sheets = append(p.sheets, sheetPart{name, part, at["state"] == "hidden" || at["state"] == "veryHidden"})
	}
	if len(p.sheets) == 0 {
		return refuse("the workbook has no worksheet", "check that the right file was named")
	}
	return nil
}

// target returns the part that a relation leads to and the relation's kind.
func (r relationships) target(id, dir string) (part, kind string) {
	for _, rel := range r.List {
		if rel.ID != id {
			continue
		}
		if strings.HasPrefix(rel.Target, "/") {
			return strings.TrimPrefix(path.Clean(rel.Target), "/"), path.Base(rel.Type)
		}
		return path.Join(dir, rel.Target), path.Base(rel.Type)
	}
	return "", ""
}

// maxIndex bounds the small parts that list the others.
const maxIndex = 4 << 20

func (a *archive) decode(part string, into any) error {
	f := a.parts[partKey(part)]
	if f == nil {
		return malformed(estimate.Place{}, fmt.Sprintf("the workbook lacks its part %q: it", part))
	}
	data, err := readPart(f, maxIndex)
	if err == nil {
		err = xml.Unmarshal(data, into)
	}
	if err != nil {
		return malformed(estimate.Place{}, fmt.Sprintf("the part %q of the workbook", part))
	}
	return nil
}

// maxToken is how many bytes of XML one token may have: a text, a comment, a
// tag with its attributes. The longest text of a cell has a third of it,
// however it is escaped.
const maxToken = 1 << 20

var (
	errDoctype  = errors.New("document type declaration")
	errNesting  = errors.New("elements nested too deep")
	errElements = refuse("it is built of more than 8,000,000 elements", "copy the tables that matter into a new workbook")
	errToken    = refuse("a text or comment in it is longer than 1 MB", "copy the tables that matter into a new workbook")
)

// limitedReader limits how many bytes one token or record may take. The limit is
// set anew before each.
type limitedReader struct {
	r         io.Reader
	remaining int
}

func (r *limitedReader) Read(b []byte) (int, error) {
	if r.remaining <= 0 {
		return 0, errToken
	}
	n, err := r.r.Read(b[:min(len(b), r.remaining)])
	r.remaining -= n
	return n, err
}

// tokens calls visit for each XML token of a reader up to its end, which
// proves it well formed. A document type declaration and deep nesting, which
// only hostile files have, are errors.
func tokens(r io.Reader, phase func(xml.Token) error) error {
	limited := &limitedReader{r: r}
	d := xml.NewDecoder(limited)
	depth, elements := 0, 0
	for {
		limited.remaining = maxToken
		t, err := d.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch t.(type) {
		case xml.Directive:
			return errDoctype
		case xml.StartElement:
			if depth++; depth > maxNesting {
				return errNesting
			}
			if elements++; elements > maxElements {
				return errElements
			}
		case xml.EndElement:
			depth--
		}
		if err := phase(t); err != nil {
			return err
		}
	}
}
