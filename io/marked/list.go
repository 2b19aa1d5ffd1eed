package marked

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// listed is a line of the sheet of problems.
type listed struct {
	place, link string // link is "" where there is no cell to go to
	estimate.Problem
}

// listWidths are those of the columns of the sheet of problems, in characters.
var listWidths = []int{24, 10, 62, 50}

// addFormats adds what the sheet of problems looks like to the formats.
func (f *formats) addFormats() {
	font := func(rest string) int { return f.fonts.add(f.q(`<font>` + rest + `<name val="Calibri"/></font>`)) }
	title := font(`<b/><sz val="16"/>`)
	head := font(`<b/><sz val="10"/>`)
	text := font(`<sz val="10"/>`)
	leads := font(`<u/><sz val="10"/><color rgb="FF1F4E79"/>`)
	line := f.borders.add(f.q(`<border><left/><right/><top/><bottom style="medium"><color rgb="FF000000"/></bottom><diagonal/></border>`))
	format := func(font, border int, alignment string) int {
		return f.xfs.add(f.q(fmt.Sprintf(`<xf numFmtId="0" fontId="%d" fillId="0" borderId="%d" applyFont="1" applyBorder="1" applyAlignment="1">`+
			`<alignment vertical="center"%s/></xf>`, font, border, alignment)))
	}
	f.title, f.words, f.head = format(title, 0, ""), format(text, 0, ""), format(head, line, "")
	f.text, f.leads = format(text, 0, ` wrapText="1"`), format(leads, 0, ` wrapText="1"`)
}

// list adds the sheet of problems, and puts it in front of all others.
func (c *copying) list(file string, lines []listed, unmarked int) error {
	f := c.formats
	var b strings.Builder
	row := 0
	write := func(height int, cells ...string) {
		row++
		if len(cells) == 0 {
			return
		}
		fmt.Fprintf(&b, `<row r="%d" ht="%d" customHeight="1">%s</row>`, row, height, strings.Join(cells, ""))
	}
	cell := func(col, format int, words string) string {
		return fmt.Sprintf(`<c r="%s" s="%d" t="inlineStr"><is><t>%s</t></is></c>`,
			formula.Cell(row+1, col), format, escape(strings.TrimSpace(formula.CleanText(words))))
	}
	var links strings.Builder
	write(24, cell(1, f.title, "Problems of "+file))
	write(15, cell(1, f.words, "This is a copy. Correct the file itself, then check it again."))
	write(15, cell(1, f.words, "A marked cell has a thick border: !! or crossed lines are an error, ! or one line a warning. "+
		"A click on a place goes to its cell."))
	write(0)
	heads := make([]string, len(listWidths))
	for i, words := range []string{"Place", "Severity", "What is wrong", "What to do"} {
		heads[i] = cell(i+1, f.head, words)
	}
	write(18, heads...)
	top := row
	for _, l := range lines {
		format := f.text
		if l.link != "" {
			format = f.leads
			fmt.Fprintf(&links, `<hyperlink ref="%s" location="%s"/>`, formula.Cell(row+1, 1), escape(l.link))
		}
		words := []string{l.place, l.Severity.String(), l.What, l.Do}
		height := 1
		for i, w := range words {
			height = max(height, linesOf(w, listWidths[i]))
		}
		write(min(14*height+3, 400), cell(1, format, words[0]), cell(2, f.text, words[1]), cell(3, f.text, words[2]), cell(4, f.text, words[3]))
	}
	if unmarked > 0 {
		write(15, cell(1, f.words, fmt.Sprintf("%d more cells are not marked.", unmarked)))
	}
	var cols strings.Builder
	for i, w := range listWidths {
		fmt.Fprintf(&cols, `<col min="%d" max="%[1]d" width="%d" customWidth="1"/>`, i+1, w)
	}
	hyperlinks := ""
	if links.Len() > 0 {
		hyperlinks = "<hyperlinks>" + links.String() + "</hyperlinks>"
	}
	return c.addFirst(fmt.Sprintf(`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`+"\n"+
		`<worksheet xmlns="%s"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><dimension ref="A1:D%d"/>`+
		`<sheetViews><sheetView showGridLines="0" tabSelected="1" workbookViewId="0"><pane ySplit="%d" topLeftCell="A%d" activePane="bottomLeft" state="frozen"/>`+
		`<selection pane="bottomLeft" activeCell="A%[4]d" sqref="A%[4]d"/></sheetView></sheetViews><sheetFormatPr defaultRowHeight="15"/>`+
		`<cols>%s</cols><sheetData>%s</sheetData>%s<pageMargins left="0.5" right="0.5" top="0.5" bottom="0.5" header="0.3" footer="0.3"/>`+
		`<pageSetup orientation="landscape" fitToHeight="0"/></worksheet>`, c.main, row, top, top+1, cols.String(), b.String(), hyperlinks))
}

// linesOf returns how many lines words take in a column of so many characters.
func linesOf(words string, width int) (n int) {
	for _, line := range strings.Split(words, "\n") {
		n += max(1, (len([]rune(line))+width-3)/(width-2))
	}
	return n
}

// addFirst adds a sheet to the workbook in front of all others.
func (c *copying) addFirst(text string) error {
	name, err := c.addTyped("xl/worksheets/sheetMarked%d.xml", "spreadsheetml.worksheet+xml", text)
	if err != nil {
		return err
	}
	id, err := c.relate(c.book, c.relation("worksheet"), name)
	if err != nil {
		return err
	}
	taken, largest := map[string]bool{}, 0
	for _, s := range c.sheets {
		taken[strings.ToLower(s.attr("name"))] = true
		largest = max(largest, number(s.attr("sheetId")))
	}
	title := xlsx.ProblemsName
	for n := 2; taken[strings.ToLower(title)]; n++ {
		title = fmt.Sprintf("%s (%d)", xlsx.ProblemsName, n)
	}
	p, err := c.part(c.book)
	if err != nil {
		return err
	}
	p.prepend(c.root.child("sheets"), fmt.Sprintf(`<%ssheet name="%s" sheetId="%d" %s/>`, c.root.prefix, title, largest+1, c.id(c.root, id)))
	// Names of one sheet, and the sheet in front, are told by the places of sheets.
	if names := c.root.child("definedNames"); names != nil {
		for _, e := range names.children {
			if at := e.attr("localSheetId"); at != "" {
				p.set(e, "localSheetId", fmt.Sprint(number(at)+1))
			}
		}
	}
	if views := c.root.child("bookViews"); views != nil {
		for _, e := range views.children {
			p.set(e, "activeTab", "0", "firstSheet", "0")
		}
	}
	return nil
}
