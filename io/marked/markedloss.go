package marked

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"sillwright/io/xlsx"
)

// unpacked returns the parts of a workbook by name.
func unpacked(data []byte) (map[string][]byte, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	parts, total := map[string][]byte{}, uint64(0)
	for _, f := range z.File {
		if isXML(f.Name) {
			total += f.UncompressedSize64
		}
		if total > maxCopied {
			return nil, errors.New("its formats, which are too many to copy")
		}
		r, err := f.Open()
		if err != nil {
			return nil, err
		}
		parts[f.Name], err = io.ReadAll(r)
		if err := errors.Join(err, r.Close()); err != nil {
			return nil, err
		}
	}
	return parts, nil
}

func isXML(name string) bool {
	return slices.Contains([]string{".xml", ".rels", ".vml"}, strings.ToLower(path.Ext(name)))
}

// lostParts compares a workbook with its copy, part by part and element by
// element, and names what is in the first alone.
func lostParts(before, after map[string][]byte) []string {
	lost := map[string]bool{}
	for name, data := range before {
		other, there := after[name]
		switch {
		case bytes.Equal(data, other):
		case !there && strings.EqualFold(name, "xl/calcChain.xml"): // an order of work, made anew
		case !there, !isXML(name):
			lost[lostWord(name)] = true
		case undeclared(other):
			lost[lostWord(name)] = true
		default:
			have := inventory(other)
			for element, n := range inventory(data) {
				if have[element] < n {
					lost[lostWord(name+" "+element)] = true
				}
			}
		}
	}
	return slices.Sorted(maps.Keys(lost))
}

// lostWords name what part or element is lost, the first that fits.
var lostWords = [...]struct{ in, word string }{
	{"conditionalFormat", "conditional formats"}, {"dataValidation", "validations"},
	{"xl/charts", "charts"}, {"xl/media", "pictures"}, {"xl/pivot", "pivot tables"}, {"slicer", "slicers"},
	{"comment", "notes"}, {"vmlDrawing", "notes or buttons"}, {"xl/drawings", "drawings"}, {"drawing", "drawings"},
	{"/sheetData/row/c", "contents of cells"}, {"/sheetData/row", "formats of rows"}, {"xl/styles.xml", "formats"},
	{"definedName", "names"}, {"extLst", "extensions of another program"},
}

func lostWord(what string) string {
	for _, w := range lostWords {
		if strings.Contains(what, w.in) {
			return w.word
		}
	}
	name, element, isElement := strings.Cut(what, " ")
	if !isElement {
		return path.Base(name)
	}
	if i := strings.IndexAny(element, "[="); i >= 0 {
		element = element[:i]
	}
	return path.Base(name) + " " + path.Base(element)
}

// harmless are attributes without which a workbook looks and works the same:
// counts, marks of the program that saved it, and the format of a cell, which
// is what marking changes.
var harmless = []string{"count", "uniqueCount", "dyDescent", "uid", "Ignorable", "knownFonts", "spans", "space", "Requires",
	"documentId", "lastEdited", "lowestEdited", "rupBuild", "appName"}

// undeclared reports whether a part has a name with a prefix that stands for
// nothing, which strict programs refuse.
func undeclared(data []byte) bool {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = false
	isPrefix := func(space string) bool {
		return space != "" && space != "xml" && space != "xmlns" && !strings.ContainsAny(space, ":/")
	}
	for {
		t, err := d.Token()
		if err != nil {
			return false
		}
		if e, ok := t.(xml.StartElement); ok {
			if isPrefix(e.Name.Space) || slices.ContainsFunc(e.Attr, func(a xml.Attr) bool { return isPrefix(a.Name.Space) }) {
				return true
			}
		}
	}
}

// drawingPrefixes are those that the library declares for the shapes of notes.
var drawingPrefixes = map[string]string{
	"": "", "urn:schemas-microsoft-com:vml": "v:", "urn:schemas-microsoft-com:office:office": "o:", "urn:schemas-microsoft-com:office:excel": "x:",
}

// usualPrefixes returns the shapes of notes with the prefixes that the library
// takes for granted: it copies what is in a shape, but not what its prefixes stand
// for. What has other names, or is no XML, stays as it is.
func usualPrefixes(data []byte) []byte {
	var out bytes.Buffer
	write := func(ss ...string) {
		for _, s := range ss {
			out.WriteString(s)
		}
	}
	d, depth := xml.NewDecoder(bytes.NewReader(data)), 0
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) && depth == 0 {
			return out.Bytes()
		}
		if err != nil {
			return data
		}
		switch t := t.(type) {
		case xml.StartElement:
			prefix, known := drawingPrefixes[t.Name.Space]
			if !known {
				return data
			}
			write("<", prefix, t.Name.Local)
			if depth == 0 {
				for _, space := range slices.Sorted(maps.Keys(drawingPrefixes)) {
					if p := strings.TrimSuffix(drawingPrefixes[space], ":"); p != "" {
						write(` xmlns:`, p, `="`, space, `"`)
					}
				}
			}
			for _, a := range t.Attr {
				if a.Name.Space == "xmlns" || a.Name.Local == "xmlns" {
					continue
				}
				prefix, known := drawingPrefixes[a.Name.Space]
				if !known {
					return data
				}
				write(" ", prefix, a.Name.Local, `="`)
				_ = xml.EscapeText(&out, []byte(a.Value)) // a buffer takes all
				write(`"`)
			}
			write(">")
			depth++
		case xml.EndElement:
			write("</", drawingPrefixes[t.Name.Space], t.Name.Local, ">")
			depth--
		case xml.CharData:
			_ = xml.EscapeText(&out, t)
		}
	}
}

// inventory counts the elements of a part, each with its attributes and text.
func inventory(data []byte) map[string]int {
	counts := map[string]int{}
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = false
	type element struct {
		name string
		text strings.Builder
	}
	var open []*element
	for {
		t, err := d.Token()
		if err != nil {
			return counts
		}
		switch t := t.(type) {
		case xml.StartElement:
			e := &element{name: t.Name.Local}
			if len(open) > 0 {
				e.name = open[len(open)-1].name + "/" + e.name
			}
			open = append(open, e)
			listed := attributes(e.name, t.Attr)
			if e.name == cellElement && slices.ContainsFunc(t.Attr, func(a xml.Attr) bool { return a.Name.Local == "s" && a.Value != "0" }) {
				counts[cellElement+"[format]"]++ // which format it is, marking changes
			}
			if e.name == cellElement && len(listed) == 0 || e.name == rowElement && len(listed) == 1 {
				continue // what a cell holds is counted as text; a blank one, or a row that has but its number, is nothing
			}
			for range times(e.name, t.Attr) {
				counts[e.name+"["+strings.Join(listed, " ")+"]"]++
			}
		case xml.CharData:
			if len(open) > 0 {
				open[len(open)-1].text.Write(t)
			}
		case xml.EndElement:
			last := open[len(open)-1]
			open = open[:len(open)-1]
			if text := strings.TrimSpace(last.text.String()); text != "" {
				counts[last.name+"="+text]++
			}
		}
	}
}

// times returns how often an element counts: alike columns may be joined, an
// empty header or footer and the pattern of a note's box are nothing.
func times(name string, attrs []xml.Attr) int {
	if strings.Contains(name, "/headerFooter/") || strings.HasPrefix(name, "xml/shapetype") {
		return 0
	}
	from, to := 1, 1
	for _, a := range attrs {
		switch {
		case name != columnElement:
		case a.Name.Local == "min":
			from, _ = strconv.Atoi(a.Value)
		case a.Name.Local == "max":
			to, _ = strconv.Atoi(a.Value)
		}
	}
	return min(to-from+1, 1<<14)
}

const (
	columnElement = "worksheet/cols/col"
	rowElement    = "worksheet/sheetData/row"
	cellElement   = "worksheet/sheetData/row/c"
)

// attributes lists what attributes say that is not left out by default.
func attributes(name string, attrs []xml.Attr) []string {
	var out []string
	for _, a := range attrs {
		value := a.Value
		switch {
		case a.Name.Space == "xmlns", a.Name.Local == "xmlns", slices.Contains(harmless, a.Name.Local):
			continue
		case name == cellElement && (a.Name.Local == "s" || a.Name.Local == "r"):
			continue
		case name == "xml/shape" && (a.Name.Local == "id" || a.Name.Local == "allowincell"):
			continue
		case name == columnElement && (a.Name.Local == "min" || a.Name.Local == "max"):
			continue
		case value == "", value == "0", value == "false":
			continue
		case value == "true":
			value = "1"
		}
		out = append(out, a.Name.Local+"="+value)
	}
	slices.Sort(out)
	return out
}

// repacked returns a workbook of its parts.
func repacked(parts map[string][]byte) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.SortedFunc(maps.Keys(parts), xlsx.PartOrder) {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write(parts[name])
		}
		if err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// notesRenamed returns a workbook's parts with those of the notes under names
// and prefixes of one form: the library writes a sheet's notes to the part whose
// number their drawing has, wherever they are.
func notesRenamed(parts map[string][]byte) (map[string][]byte, error) {
	out := maps.Clone(parts)
	for name, data := range parts {
		if strings.EqualFold(path.Ext(name), ".vml") {
			out[name] = usualPrefixes(data)
		}
	}
	n := 0
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		if !strings.HasPrefix(name, "xl/worksheets/_rels/") {
			continue
		}
		var rels struct {
			List []relationship `xml:"Relationship"`
		}
		if err := xml.Unmarshal(parts[name], &rels); err != nil {
			return nil, errors.New("what the spreadsheet library cannot read")
		}
		n++
		for _, r := range rels.List {
			to, isNote := map[string]string{"comments": "comments%d.xml", "vmlDrawing": "drawings/vmlDrawing%d.vml"}[path.Base(r.Type)]
			from := strings.TrimPrefix(path.Join("/xl/worksheets", r.Target), "/")
			if strings.HasPrefix(r.Target, "/") {
				from = r.Target[1:]
			}
			if !isNote || parts[from] == nil || parts[relsOf(from)] != nil {
				continue
			}
			to = fmt.Sprintf(to, 100+n)
			out["xl/"+to] = out[from]
			delete(out, from)
			out[name] = bytes.Replace(out[name], []byte(`"`+r.Target+`"`), []byte(`"../`+to+`"`), 1)
			out[xlsx.ContentTypesPart] = bytes.Replace(out[xlsx.ContentTypesPart], []byte(`"/`+from+`"`), []byte(`"/xl/`+to+`"`), 1)
		}
	}
	return out, nil
}

func relsOf(part string) string {
	return path.Join(path.Dir(part), "_rels", path.Base(part)+".rels")
}

// relationship is a line of a part of relationships.
type relationship struct {
	ID     string `xml:"Id,attr"`
	Type   string `xml:"Type,attr"`
	Target string `xml:"Target,attr"`
	Mode   string `xml:"TargetMode,attr"`
}
