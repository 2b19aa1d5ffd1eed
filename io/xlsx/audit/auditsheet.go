package audit

import (
	"iter"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// auditSheet is one sheet of a workbook that is held against the modeling rules.
type auditSheet struct {
	name, state string
	isInput     bool // its tab has the color of inputs
	xml         worksheetXML
	cells       map[[2]int]CellXML
	order       [][2]int // of cells, by rows
	text        map[[2]int]string
	tables      []auditTable
	hiddenRows  map[int]bool
	titles      [2]int // rows repeated on every page
}

type auditTable struct {
	formula.Area
	name string
}

// worksheetXML is what the rules look at in a sheet.
type worksheetXML struct {
	Tab struct {
		RGB string `xml:"rgb,attr"`
	} `xml:"sheetPr>tabColor"`
	Fit struct {
		On bool `xml:"fitToPage,attr"`
	} `xml:"sheetPr>pageSetUpPr"`
	Cols  []colXML  `xml:"cols>col"`
	Rows  []RowXML  `xml:"sheetData>row"`
	Links []linkXML `xml:"hyperlinks>hyperlink"`
	Setup struct {
		Paper       int    `xml:"paperSize,attr"`
		Orientation string `xml:"orientation,attr"`
		Wide        string `xml:"fitToWidth,attr"`
		High        string `xml:"fitToHeight,attr"`
	} `xml:"pageSetup"`
	Header string `xml:"headerFooter>oddHeader"`
	Footer string `xml:"headerFooter>oddFooter"`
	Tables []struct {
		RID string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
	} `xml:"tableParts>tablePart"`
}

type linkXML struct {
	Location string `xml:"location,attr"`
}

// styleXML is what the rules look at in a style.
type styleXML struct {
	unlocked, input bool
	format          string
}

// load reads the sheets and styles.
func (a *auditor) load() bool {
	const book = "xl/workbook.xml"
	var wb struct {
		Sheets []struct {
			Name  string `xml:"name,attr"`
			State string `xml:"state,attr"`
			RID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
		Names []struct {
			Name  string `xml:"name,attr"`
			Local int    `xml:"localSheetId,attr"`
			Ref   string `xml:",chardata"`
		} `xml:"definedNames>definedName"`
	}
	a.decode(book, &wb)
	a.styles()
	rels := a.relations(book)
	for _, s := range wb.Sheets {
		a.sheets = append(a.sheets, a.loadSheet(s.Name, s.State, rels[s.RID].Target))
	}
	for _, n := range wb.Names {
		if rows := titleRows.FindStringSubmatch(n.Ref); n.Name == "_xlnm.Print_Titles" && rows != nil && n.Local < len(a.sheets) {
			first, _ := strconv.Atoi(rows[1])
			last, _ := strconv.Atoi(rows[2])
			a.sheets[n.Local].titles = [2]int{first, last}
		}
	}
	return len(a.found) == 0
}

var titleRows = regexp.MustCompile(`!\$(\d+):\$(\d+)$`)

// styles reads of each style whether it is unlocked, has the fill of an input, and
// its number format.
func (a *auditor) styles() {
	var x struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Fills []struct {
			Color struct {
				RGB string `xml:"rgb,attr"`
			} `xml:"patternFill>fgColor"`
		} `xml:"fills>fill"`
		Styles []struct {
			Fill       int `xml:"fillId,attr"`
			Format     int `xml:"numFmtId,attr"`
			Protection struct {
				Locked string `xml:"locked,attr"`
			} `xml:"protection"`
		} `xml:"cellXfs>xf"`
	}
	a.decode("xl/styles.xml", &x)
	formats := map[int]string{}
	for _, f := range x.Formats {
		formats[f.ID] = f.Code
	}
	for _, s := range x.Styles {
		a.look = append(a.look, styleXML{
			unlocked: s.Protection.Locked == "0" || s.Protection.Locked == "false",
			input:    s.Fill < len(x.Fills) && isInputColor(x.Fills[s.Fill].Color.RGB),
			format:   formats[s.Format],
		})
	}
}

func (a *auditor) loadSheet(name, state, part string) *auditSheet {
	s := &auditSheet{name: name, state: state, cells: map[[2]int]CellXML{}, text: map[[2]int]string{}, hiddenRows: map[int]bool{}}
	a.decode(part, &s.xml)
	Spread(s.xml.Rows) // what is wrong there is found by Lint
	s.isInput = strings.HasSuffix(s.xml.Tab.RGB, inputTabColor)
	for _, r := range s.xml.Rows {
		s.hiddenRows[r.R] = r.Hidden
		for _, c := range r.Cells {
			col, row, err := excelize.CellNameToCoordinates(c.R)
			if err != nil || c.S >= len(a.look) {
				a.report("sheet %s: cell %s", name, c.R)
				continue
			}
			at := [2]int{row, col}
			s.cells[at], s.order = c, append(s.order, at)
			if c.I != "" {
				s.text[at] = c.I
			}
		}
	}
	rels := a.relations(part)
	for _, t := range s.xml.Tables {
		var x struct {
			Name string `xml:"name,attr"`
			Ref  string `xml:"ref,attr"`
		}
		a.decode(rels[t.RID].Target, &x)
		ls := lintSheet{linter: &a.linter, name: name}
		s.tables = append(s.tables, auditTable{ls.area(x.Ref), x.Name})
	}
	return s
}

// each returns the cells, row by row.
func (s *auditSheet) each() iter.Seq2[[2]int, CellXML] {
	return func(yield func([2]int, CellXML) bool) {
		for _, at := range s.order {
			if !yield(at, s.cells[at]) {
				return
			}
		}
	}
}

// column names the column of a cell by the header of its table; outside of all
// tables by its letter.
func (s *auditSheet) column(at [2]int) string {
	for _, t := range s.tables {
		if t.Has(at[0], at[1]) {
			return s.text[[2]int{t.Row, at[1]}]
		}
	}
	return formula.Column(at[1])
}

func (s *auditSheet) hiddenCol(col int) bool {
	return slices.ContainsFunc(s.xml.Cols, func(c colXML) bool { return c.Hidden && c.Min <= col && col <= c.Max })
}

// sheet returns the sheet of a name, or nil.
func (a *auditor) sheet(name string) *auditSheet {
	for _, s := range a.sheets {
		if s.name == name {
			return s
		}
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// circles reports formulas that depend on themselves.
func (a *auditor) circles() {
	type node struct {
		sheet string
		at    [2]int
	}
	formulas := map[string]map[int][]int{} // rows of formulas, by sheet and column
	for _, s := range a.sheets {
		formulas[s.name] = map[int][]int{}
		for at, c := range s.each() {
			if c.F != nil {
				formulas[s.name][at[1]] = append(formulas[s.name][at[1]], at[0])
			}
		}
	}
	const open, done = 1, 2
	state := map[node]int{}
	var phase func(node)
	phase = func(n node) {
		state[n] = open
		for _, r := range references(*a.sheet(n.sheet).cells[n.at].F, n.sheet) {
			for col := r.Col; col <= r.Col2; col++ {
				rows := formulas[r.Sheet][col]
				first, _ := slices.BinarySearch(rows, r.Row)
				for _, row := range rows[first:] {
					if row > r.Row2 {
						break
					}
					switch next := (node{r.Sheet, [2]int{row, col}}); state[next] {
					case open:
						a.breach(RuleFlow, n.sheet, formula.Cell(n.at[0], n.at[1]), "goes round in a circle")
					case 0:
						phase(next)
					}
				}
			}
		}
		state[n] = done
	}
	for _, s := range a.sheets {
		for at, c := range s.each() {
			if n := (node{s.name, at}); c.F != nil && state[n] == 0 {
				phase(n)
			}
		}
	}
}
