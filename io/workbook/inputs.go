package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// The input sheets. They travel inside the estimate as the user wrote them, so
// that the estimate can be run again.

// lead writes the title lines of an input sheet, and in an estimate the master
// check.
func (w *writer) lead(p *page, head, how string) {
	p.inputPage()
	p.row(str(title, head))
	p.row(str(subtitle, how))
	if w.checks == nil {
		p.skip(1)
		return
	}
	w.masterLine(p)
}

const inputHeader = 4 // header row of every input sheet

// jobSheet writes the settings, a line a key. Rates are numbers, so that the
// bid follows them.
func (w *writer) jobSheet() {
	p := w.job
	w.lead(p, "Job", "The crew's own values; where Value is blank the default holds. Change a rate of the bid and the price follows; for anything else run estimate again. "+w.bareWords())
	p.row(strs(heading, "Key", "Value", "Unit", "Default", "Meaning", "Source")...)
	for _, s := range w.in.Settings {
		row := p.row(str(text, s.Key), settingCell(s), str(text, unitWords(s.Unit)), str(textRight, s.Default), str(textWrap, s.Meaning), str(textWrap, s.Source))
		w.setting[s.Key] = p.ref(row, 2)
		if words := s.Words(); len(words) > 0 {
			p.choice(ref(row, 2), words, "Job", s.Key+": "+strings.Join(words, ", "))
		}
	}
	p.widths(27, 22, 14, 16, 50, 44)
	p.finish("JobSettings", inputHeader, 6, 1)
}

func unitWords(u string) string {
	switch {
	case strings.Contains(u, "|"):
		return "choose"
	case u == "percent":
		return "%"
	}
	return u
}

// settingCell writes what the crew wrote. A rate that feeds a formula always
// stands in its cell, the default too.
func settingCell(s estimate.Setting) cell {
	if s.Unit == estimate.UnitPercent {
		if r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s.Value(), "%")) + " %"); err == nil {
			return num(r, inputPercent)
		}
	}
	if s.Unit == estimate.UnitDate {
		if d, err := measure.ParseDate(s.Text); err == nil {
			return num(d, inputDate)
		}
	}
	if m, err := measure.ParseMoney(s.Text); err == nil && s.Unit == estimate.UnitMoney {
		return num(m, inputMoney)
	}
	if n, err := measure.ParseCount(s.Text); err == nil && (s.Unit == "count" || s.Unit == "days" || s.Unit == "F") {
		return num(n, inputCount)
	}
	if s.Unit == estimate.UnitText {
		return str(inputTextWrap, s.Text)
	}
	if s.Text == "" && slices.Contains([]string{"tax units", "tax delivery", "tax basis", "profit is"}, s.Key) {
		return str(inputText, s.Default)
	}
	return str(inputText, s.Text)
}

// inputCell copies a cell of the user's.
func inputCell(c sheet.Cell) cell {
	switch {
	case c.Blank():
		return blank(inputText)
	case c.Kind == sheet.Number && c.Percent:
		return num(c.Number, inputPercent)
	case c.Kind == sheet.Number:
		return num(c.Number, inputNumber)
	}
	return str(inputText, c.Text)
}

// fewRows is how many empty rows stand below what is typed on a sheet of free
// rows, so that it shows where the next ones go; read back they are nothing.
const fewRows = 5

// emptyRows returns how many empty rows a sheet gets: so many in a blank schedule.
func (w *writer) emptyRows(whenBlank int) int {
	if w.blank {
		return whenBlank
	}
	return fewRows
}

// typed is the range of a column of an input sheet, from below its header to what
// is written last.
func (p *page) typed(col int) string { return span(inputHeader+1, col, p.next()-1, col) }

// blanks is a row of inputs to fill in.
func blanks(looks ...look) []cell {
	cells := make([]cell, len(looks))
	for i, l := range looks {
		cells[i] = blank(l)
	}
	return cells
}

// copyTable writes a table of the user's, and so many empty rows below it.
func copyTable(p *page, t Table, empty int) {
	p.row(strs(heading, t.Headers...)...)
	if len(t.Columns) == 0 {
		return
	}
	for _, r := range t.Rows {
		cells := make([]cell, len(t.Columns))
		for i := range cells {
			cells[i] = blank(inputText)
			if i < len(r) {
				cells[i] = inputCell(r[i])
			}
		}
		p.row(cells...)
	}
	for range empty {
		p.row(slices.Repeat(blanks(inputText), len(t.Columns))...)
	}
}

func (w *writer) openingsSheet() {
	p := w.openings
	w.lead(p, "Openings", "The schedule as it was read. Change Qty or Unit cost and the price follows; for anything else run estimate again. "+w.bareWords())
	copyTable(p, w.in.Openings, 0)
	w.openingRow = make([]int, len(w.in.Book.Openings))
	for i, k := range w.in.Openings.Opening {
		if k < 0 {
			continue
		}
		row := inputHeader + 1 + i
		w.openingRow[k] = row
		o := w.in.Book.Openings[k]
		for c, name := range w.in.Openings.Columns {
			switch {
			case name == "Qty":
				p.set(row, c+1, num(max(1, o.Qty), inputCount))
			case name == "Unit cost" && o.UnitCost.Set:
				p.set(row, c+1, num(o.UnitCost.V, inputMoney))
			}
		}
	}
	p.autoWidth(7, 26)
	p.acrossPages(2)
	p.finish("OpeningSchedule", inputHeader, len(w.in.Openings.Columns), 1)
}

// bareWords say what a length without a unit is.
func (w *writer) bareWords() string {
	unit := "inches"
	if w.u.mm {
		unit = "millimetres"
	}
	return "A length without a unit is in " + unit + "."
}

func (w *writer) measuredSheet() {
	w.lead(w.measured, "Measured", "What was read at each unit after setting. Print Measuring, fill it in, and type it here. "+w.bareWords())
	copyTable(w.measured, w.in.Measured, w.emptyRows(40))
	w.measured.finish("MeasuredReadings", inputHeader, len(w.in.Measured.Columns), 1)
}

// costsSheet writes the job's free cost lines, with what each comes to.
func (w *writer) costsSheet() {
	p := w.costs
	w.lead(p, "Cost lines", "Free costs of the job: lift, dump fee, permit, travel.")
	p.row(strs(heading, "Text", "Count", "Unit", "Price", "Taxable", "Extension")...)
	for _, c := range w.in.Book.Job.Costs {
		cells := []cell{str(inputText, c.Text), blank(inputCount), str(inputText, c.Unit), blank(inputUnitPrice), str(inputText, yes(c.Taxable)), costCell(p.next(), notStated)}
		if c.Count.Set {
			cells[1].v = c.Count.V
		}
		if c.Price.Set {
			cells[3].v = c.Price.V
		}
		if c.Count.Set && c.Price.Set {
			cells[5].v = measure.Extension(c.Count.V, c.Price.V)
		}
		p.row(cells...)
	}
	for range w.emptyRows(10) {
		p.row(append(blanks(inputText, inputCount, inputText, inputUnitPrice, inputText), costCell(p.next(), ""))...)
	}
	p.wholeRange(p.typed(2), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.decimalRange(p.typed(4), -1e7, 1e7, "Price", "An amount of money.")
	p.choice(p.typed(5), []string{"yes", "no"}, "Taxable", "yes or no")
	p.widths(40, 10, 10, 12, 10, 14)
	p.finish("CostLines", inputHeader, 6, 0)
	last := p.next() - 1
	w.bid["cost column"] = p.span(inputHeader+1, 6, last, 6)
	w.bid["cost taxable"] = p.span(inputHeader+1, 5, last, 5)
}

// costCell is what a cost line comes to: nothing while it is empty, and in words
// while its count or its price is missing.
func costCell(row int, v any) cell {
	f := fmt.Sprintf(`IF(AND(ISNUMBER(B%[1]d),ISNUMBER(D%[1]d)),%[2]s,IF(A%[1]d&B%[1]d&D%[1]d="","","%[3]s"))`,
		row, cents("B"+itoa(row)+"*D"+itoa(row), extensionDecimals), notStated)
	return formula(f, v, money)
}

func (w *writer) detailsSheet() {
	p := w.details
	w.lead(p, "Details", "How each sort of opening is closed in, in the order of work. A detail changed here replaces the shipped one whole.")
	p.row(strs(heading, estimate.StepColumns...)...)
	for _, s := range w.in.Steps {
		cells := make([]cell, len(estimate.StepColumns))
		for i, c := range estimate.StepColumns {
			cells[i] = str(inputTextWrap, s.Fields[c])
		}
		p.row(cells...)
	}
	p.widths(14.5, 5.5, 30, 13, 12, 6, 11, 9, 7.5, 8, 8.5, 9, 10.5, 22, 6, 30.5) // printed at 6.4 points
	p.finish("DetailSteps", inputHeader, len(estimate.StepColumns), 2)
}

// onHandHeads are the columns of the On hand sheet; the lists on Offcuts have
// the same first three.
var onHandHeads = []string{"Item", "Length", "Count", "Notes"}

// onHandSheet writes what the crew has already.
func (w *writer) onHandSheet() {
	p := w.onHand
	w.lead(p, "On hand", "Boards, sticks and rolls that are there already, whole or left over. They are used before any is bought, at no cost. "+w.bareWords())
	p.row(strs(heading, onHandHeads...)...)
	for _, h := range w.in.Book.Job.OnHand {
		p.row(str(inputText, h.Item), num(w.u.length(h.Length), inputInches), num(h.Count, inputCount), str(inputText, h.Notes))
	}
	for range w.emptyRows(20) {
		p.row(blanks(inputText, inputText, inputCount, inputText)...)
	}
	p.wholeRange(p.typed(3), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.widths(24, 16, 10, 40)
	p.finish("OnHand", inputHeader, len(onHandHeads), 0)
}

// alternatesSheet writes the alternates as they were read.
func (w *writer) alternatesSheet() {
	p := w.alternates
	w.lead(p, "Alternates", "Other ways to do the job; sillwright compare prices each. Rows of one Name are one alternate: where When holds, Column (of Openings, or a key of Job with When blank) is set to Value. A row with the name common alone asks for the usual ones.")
	copyTable(p, w.in.Alternates, w.emptyRows(20))
	p.widths(34, 46, 26, 22, 64)
	p.finish("AlternateRows", inputHeader, len(w.in.Alternates.Columns), 1)
}

// itemHeads are the columns of the Items sheet, in the order of items.csv.
var itemHeads = []string{"Key", "Name", "Family", "Class", "Buy", "Need", "Width", "Thickness", "Length", "Fits from", "Fits to", "End", "Lap", "Gap", "Coverage", "Coverage unit", "Kerf", "Squaring", "Joint", "Coil width", "Forms", "Allowance", "Min temp F", "Where", "Cost code", "Notes", "Source"}

func (w *writer) itemsSheet() {
	p := w.items
	w.lead(p, "Items", "What can be bought, without prices. Lengths in inches.")
	p.row(strs(heading, itemHeads...)...)
	for _, it := range w.in.Book.Items.List() {
		l := func(v measure.Length) cell {
			if v == 0 {
				return blank(inputText)
			}
			return str(inputText, measure.FormatInches(v, 64))
		}
		maybe := func(v estimate.Maybe[measure.Length]) cell {
			if !v.Set {
				return blank(inputText)
			}
			return str(inputText, measure.FormatInches(v.V, 64))
		}
		coverage, temp := blank(inputCount), blank(inputCount)
		if it.Coverage > 0 {
			coverage.v = it.Coverage
		}
		if it.MinTempF.Set {
			temp.v = it.MinTempF.V
		}
		p.row(
			str(inputText, it.Key), str(inputText, it.Name), str(inputText, it.Family), str(inputText, it.Class),
			str(inputText, map[bool]string{true: "cut", false: "pack"}[it.Cut]), str(inputText, estimate.DimensionWords[it.Dim]),
			l(it.Width), l(it.Thickness), l(it.Length), l(it.FitsFrom), l(it.FitsTo), l(it.End), l(it.Lap), maybe(it.Gap),
			coverage, str(inputText, it.CoverageUnit), maybe(it.Kerf), maybe(it.Squaring), str(inputText, estimate.JointWords[it.Joint]), l(it.Coil), str(inputText, yes(it.Forms)),
			str(inputText, it.Allowance), temp, str(inputText, map[bool]string{true: "site", false: "shop"}[it.Site]), str(inputText, it.CostCode), str(inputTextWrap, it.Notes), str(inputTextWrap, it.Source),
		)
	}
	p.widths(20, 32, 17, 14, 6, 8, 8, 9, 8, 8, 8, 6, 6, 6, 9, 9, 6, 9, 6, 8, 7, 10, 8, 7, 10, 40, 44)
	p.acrossPages(2)
	p.finish("ItemList", inputHeader, len(itemHeads), 2)
}

var priceHeads = []string{"Supplier", "Item", "Code", "Description", "Content", "Unit", "Price", "Currency", "Min temp F", "Lead days", "Effective", "Expires"}

const priceCol = 7

func (w *writer) pricesSheet() {
	p := w.prices
	w.lead(p, "Prices", "The price lists of this estimate. Change a price here and the bid follows; then run estimate again, for another choice may be cheaper.")
	p.row(strs(heading, priceHeads...)...)
	for _, o := range w.in.Lists.Offers {
		temp, lead, from, to := blank(inputCount), blank(inputCount), blank(inputDate), blank(inputDate)
		if o.MinTempF.Set {
			temp.v = o.MinTempF.V
		}
		if o.LeadDays.Set {
			lead.v = o.LeadDays.V
		}
		if o.Effective.Set {
			from.v = o.Effective.V
		}
		if o.Expires.Set {
			to.v = o.Expires.V
		}
		w.offerRow = append(w.offerRow, p.row(
			str(inputText, o.Supplier), str(inputText, o.Item), str(inputText, o.Code), str(inputText, o.Description), str(inputText, o.Content),
			str(inputText, o.Unit), num(o.Price, inputUnitPrice), str(inputText, o.Currency), temp, lead, from, to))
	}
	p.widths(24, 20, 11, 36, 11, 9, 10, 9, 9, 9, 11, 11)
	p.finish("PriceList", inputHeader, len(priceHeads), 2)
}

// priceRow returns the row of an offer on Prices.
func (w *writer) priceRow(o pricing.Offer) int {
	for i, x := range w.in.Lists.Offers {
		if x.Place == o.Place && x.Item == o.Item && x.Code == o.Code && x.Content == o.Content && strings.EqualFold(x.Supplier, o.Supplier) {
			return w.offerRow[i]
		}
	}
	w.out.fail("the price of %s from %s is not on Prices", o.Item, o.Supplier)
	return 1
}

// yes is the word for a truth.
func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
