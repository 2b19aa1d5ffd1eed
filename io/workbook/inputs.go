package workbook

import (
	"fmt"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"
	"strconv"
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
func (w *writer) lead(p *xlsx.Sheet, head, how string) {
	p.InputPage()
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	if w.checks == nil {
		p.Skip(1)
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
	p.Row(xlsx.Strs(xlsx.Heading, "Key", "Value", "Unit", "Default", "Meaning", "Source")...)
	for _, s := range w.in.Settings {
		row := p.Row(xlsx.Str(xlsx.Text, s.Key), settingCell(s), xlsx.Str(xlsx.Text, unitWords(s.Unit)), xlsx.Str(xlsx.TextRight, s.Default), xlsx.Str(xlsx.TextWrap, s.Meaning), xlsx.Str(xlsx.TextWrap, s.Source))
		w.setting[s.Key] = p.Ref(row, 2)
		if words := strings.Split(s.Unit, "|"); len(words) > 1 {
			p.Choice(formula.Cell(row, 2), words, "Job", s.Key+": "+strings.Join(words, ", "))
		}
	}
	p.Widths(27, 22, 14, 16, 50, 44)
	p.Finish("JobSettings", inputHeader, 6, 1)
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
func settingCell(s estimate.Setting) xlsx.Cell {
	if s.Unit == "percent" {
		if r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s.Value(), "%")) + " %"); err == nil {
			return xlsx.Num(r, xlsx.InputPercent)
		}
	}
	if s.Unit == "date" {
		if d, err := measure.ParseDate(s.Text); err == nil {
			return xlsx.Num(d, xlsx.InputDate)
		}
	}
	if m, err := measure.ParseMoney(s.Text); err == nil && s.Unit == "money" {
		return xlsx.Num(m, xlsx.InputMoney)
	}
	if n, err := measure.ParseCount(s.Text); err == nil && (s.Unit == "count" || s.Unit == "days" || s.Unit == "F") {
		return xlsx.Num(n, xlsx.InputCount)
	}
	if s.Unit == "text" {
		return xlsx.Str(xlsx.InputTextWrap, s.Text)
	}
	if s.Text == "" && slices.Contains([]string{"tax units", "tax delivery", "tax basis", "profit is"}, s.Key) {
		return xlsx.Str(xlsx.InputText, s.Default)
	}
	return xlsx.Str(xlsx.InputText, s.Text)
}

// inputCell copies a cell of the user's.
func inputCell(c sheet.Cell) xlsx.Cell {
	switch {
	case c.Blank():
		return xlsx.Blank(xlsx.InputText)
	case c.Kind == sheet.Number && c.Percent:
		return xlsx.Num(c.Number, xlsx.InputPercent)
	case c.Kind == sheet.Number:
		return xlsx.Num(c.Number, xlsx.InputNumber)
	}
	return xlsx.Str(xlsx.InputText, c.Text)
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

// blanks is a row of inputs to fill in.
func blanks(looks ...xlsx.Look) []xlsx.Cell {
	cells := make([]xlsx.Cell, len(looks))
	for i, l := range looks {
		cells[i] = xlsx.Blank(l)
	}
	return cells
}

// copyTable writes a table of the user's, and so many empty rows below it.
func copyTable(p *xlsx.Sheet, t Table, empty int) {
	p.Row(xlsx.Strs(xlsx.Heading, t.Headers...)...)
	if len(t.Columns) == 0 {
		return
	}
	for _, r := range t.Rows {
		cells := make([]xlsx.Cell, len(t.Columns))
		for i := range cells {
			cells[i] = xlsx.Blank(xlsx.InputText)
			if i < len(r) {
				cells[i] = inputCell(r[i])
			}
		}
		p.Row(cells...)
	}
	for range empty {
		p.Row(slices.Repeat(blanks(xlsx.InputText), len(t.Columns))...)
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
				p.Set(row, c+1, xlsx.Num(max(1, o.Qty), xlsx.InputCount))
			case name == "Unit cost" && o.UnitCost.Set:
				p.Set(row, c+1, xlsx.Num(o.UnitCost.V, xlsx.InputMoney))
			}
		}
	}
	p.AutoWidth(7, 26)
	p.AcrossPages(2)
	p.Finish("OpeningSchedule", inputHeader, len(w.in.Openings.Columns), 1)
}

// bareWords say what a length without a unit is.
func (w *writer) bareWords() string {
	unit := "inches"
	if w.u.MM {
		unit = "millimetres"
	}
	return "A length without a unit is in " + unit + "."
}

func (w *writer) measuredSheet() {
	w.lead(w.measured, "Measured", "What was read at each unit after setting. Print Measuring, fill it in, and type it here. "+w.bareWords())
	copyTable(w.measured, w.in.Measured, w.emptyRows(40))
	w.measured.Finish("MeasuredReadings", inputHeader, len(w.in.Measured.Columns), 1)
}

// costsSheet writes the job's free cost lines, with what each comes to.
func (w *writer) costsSheet() {
	p := w.costs
	w.lead(p, "Cost lines", "Free costs of the job: lift, dump fee, permit, travel.")
	p.Row(xlsx.Strs(xlsx.Heading, "Text", "Count", "Unit", "Price", "Taxable", "Extension")...)
	for _, c := range w.in.Book.Job.Costs {
		cells := []xlsx.Cell{xlsx.Str(xlsx.InputText, c.Text), xlsx.Blank(xlsx.InputCount), xlsx.Str(xlsx.InputText, c.Unit), xlsx.Blank(xlsx.InputUnitPrice), xlsx.Str(xlsx.InputText, xlsx.YesNo(c.Taxable)), costCell(p.Next(), notStated)}
		if c.Count.Set {
			cells[1].V = c.Count.V
		}
		if c.Price.Set {
			cells[3].V = c.Price.V
		}
		if c.Count.Set && c.Price.Set {
			cells[5].V = measure.Extension(c.Count.V, c.Price.V)
		}
		p.Row(cells...)
	}
	for range w.emptyRows(10) {
		p.Row(append(blanks(xlsx.InputText, xlsx.InputCount, xlsx.InputText, xlsx.InputUnitPrice, xlsx.InputText), costCell(p.Next(), ""))...)
	}
	p.WholeRange(typed(p, 2), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.DecimalRange(typed(p, 4), -1e7, 1e7, "Price", "An amount of money.")
	p.Choice(typed(p, 5), []string{"yes", "no"}, "Taxable", "yes or no")
	p.Widths(40, 10, 10, 12, 10, 14)
	p.Finish("CostLines", inputHeader, 6, 0)
	last := p.Next() - 1
	w.bid["cost column"] = p.Range(inputHeader+1, 6, last, 6)
	w.bid["cost taxable"] = p.Range(inputHeader+1, 5, last, 5)
}

// costCell is what a cost line comes to: nothing while it is empty, and in words
// while its count or its price is missing.
func costCell(row int, v any) xlsx.Cell {
	f := fmt.Sprintf(`IF(AND(ISNUMBER(B%[1]d),ISNUMBER(D%[1]d)),%[2]s,IF(A%[1]d&B%[1]d&D%[1]d="","","%[3]s"))`,
		row, formula.Cents("B"+strconv.Itoa(row)+"*D"+strconv.Itoa(row), formula.ExtensionDecimals), notStated)
	return xlsx.Formula(f, v, xlsx.Money)
}

func (w *writer) detailsSheet() {
	p := w.details
	w.lead(p, "Details", "How each sort of opening is closed in, in the order of work. A detail changed here replaces the shipped one whole.")
	p.Row(xlsx.Strs(xlsx.Heading, estimate.StepColumns...)...)
	for _, s := range w.in.Steps {
		cells := make([]xlsx.Cell, len(estimate.StepColumns))
		for i, c := range estimate.StepColumns {
			cells[i] = xlsx.Str(xlsx.InputTextWrap, s.Fields[c])
		}
		p.Row(cells...)
	}
	p.Widths(14.5, 5.5, 30, 13, 12, 6, 11, 9, 7.5, 8, 8.5, 9, 10.5, 22, 6, 30.5) // printed at 6.4 points
	p.Finish("DetailSteps", inputHeader, len(estimate.StepColumns), 2)
}

// onHandHeads are the columns of the On hand sheet; the lists on Offcuts have
// the same first three.
var onHandHeads = []string{"Item", "Length", "Count", "Notes"}

// onHandSheet writes what the crew has already.
func (w *writer) onHandSheet() {
	p := w.onHand
	w.lead(p, "On hand", "Boards, sticks and rolls that are there already, whole or left over. They are used before any is bought, at no cost. "+w.bareWords())
	p.Row(xlsx.Strs(xlsx.Heading, onHandHeads...)...)
	for _, h := range w.in.Book.Job.OnHand {
		p.Row(xlsx.Str(xlsx.InputText, h.Item), xlsx.Num(w.u.Length(h.Length), xlsx.InputInches), xlsx.Num(h.Count, xlsx.InputCount), xlsx.Str(xlsx.InputText, h.Notes))
	}
	for range w.emptyRows(20) {
		p.Row(blanks(xlsx.InputText, xlsx.InputText, xlsx.InputCount, xlsx.InputText)...)
	}
	p.WholeRange(typed(p, 3), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.Widths(24, 16, 10, 40)
	p.Finish("OnHand", inputHeader, len(onHandHeads), 0)
}

// alternatesSheet writes the alternates as they were read.
func (w *writer) alternatesSheet() {
	p := w.alternates
	w.lead(p, "Alternates", "Other ways to do the job; sillwright compare prices each. Rows of one Name are one alternate: where When holds, Column (of Openings, or a key of Job with When blank) is set to Value. A row with the name common alone asks for the usual ones.")
	copyTable(p, w.in.Alternates, w.emptyRows(20))
	p.Widths(34, 46, 26, 22, 64)
	p.Finish("AlternateRows", inputHeader, len(w.in.Alternates.Columns), 1)
}

// itemHeads are the columns of the Items sheet, in the order of items.csv.
var itemHeads = []string{"Key", "Name", "Family", "Class", "Buy", "Need", "Width", "Thickness", "Length", "Fits from", "Fits to", "End", "Lap", "Gap", "Coverage", "Coverage unit", "Kerf", "Squaring", "Joint", "Coil width", "Forms", "Allowance", "Min temp F", "Where", "Cost code", "Notes", "Source"}

func (w *writer) itemsSheet() {
	p := w.items
	w.lead(p, "Items", "What can be bought, without prices. Lengths in inches.")
	p.Row(xlsx.Strs(xlsx.Heading, itemHeads...)...)
	for _, it := range w.in.Book.Items.List() {
		l := func(v measure.Length) xlsx.Cell {
			if v == 0 {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, measure.FormatInches(v, 64))
		}
		maybe := func(v estimate.Maybe[measure.Length]) xlsx.Cell {
			if !v.Set {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, measure.FormatInches(v.V, 64))
		}
		coverage, temp := xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputCount)
		if it.Coverage > 0 {
			coverage.V = it.Coverage
		}
		if it.MinTempF.Set {
			temp.V = it.MinTempF.V
		}
		p.Row(
			xlsx.Str(xlsx.InputText, it.Key), xlsx.Str(xlsx.InputText, it.Name), xlsx.Str(xlsx.InputText, it.Family), xlsx.Str(xlsx.InputText, it.Class),
			xlsx.Str(xlsx.InputText, map[bool]string{true: "cut", false: "pack"}[it.Cut]), xlsx.Str(xlsx.InputText, estimate.DimensionWords[it.Dim]),
			l(it.Width), l(it.Thickness), l(it.Length), l(it.FitsFrom), l(it.FitsTo), l(it.End), l(it.Lap), maybe(it.Gap),
			coverage, xlsx.Str(xlsx.InputText, it.CoverageUnit), maybe(it.Kerf), maybe(it.Squaring), xlsx.Str(xlsx.InputText, estimate.JointWords[it.Joint]), l(it.Coil), xlsx.Str(xlsx.InputText, xlsx.YesNo(it.Forms)),
			xlsx.Str(xlsx.InputText, it.Allowance), temp, xlsx.Str(xlsx.InputText, map[bool]string{true: "site", false: "shop"}[it.Site]), xlsx.Str(xlsx.InputText, it.CostCode), xlsx.Str(xlsx.InputTextWrap, it.Notes), xlsx.Str(xlsx.InputTextWrap, it.Source),
		)
	}
	p.Widths(20, 32, 17, 14, 6, 8, 8, 9, 8, 8, 8, 6, 6, 6, 9, 9, 6, 9, 6, 8, 7, 10, 8, 7, 10, 40, 44)
	p.AcrossPages(2)
	p.Finish("ItemList", inputHeader, len(itemHeads), 2)
}

var priceHeads = []string{"Supplier", "Item", "Code", "Description", "Content", "Unit", "Price", "Currency", "Min temp F", "Lead days", "Effective", "Expires"}

const priceCol = 7

func (w *writer) pricesSheet() {
	p := w.prices
	w.lead(p, "Prices", "The price lists of this estimate. Change a price here and the bid follows; then run estimate again, for another choice may be cheaper.")
	p.Row(xlsx.Strs(xlsx.Heading, priceHeads...)...)
	for _, o := range w.in.Lists.Offers {
		temp, lead, from, to := xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputDate), xlsx.Blank(xlsx.InputDate)
		if o.MinTempF.Set {
			temp.V = o.MinTempF.V
		}
		if o.LeadDays.Set {
			lead.V = o.LeadDays.V
		}
		if o.Effective.Set {
			from.V = o.Effective.V
		}
		if o.Expires.Set {
			to.V = o.Expires.V
		}
		w.offerRow = append(w.offerRow, p.Row(
			xlsx.Str(xlsx.InputText, o.Supplier), xlsx.Str(xlsx.InputText, o.Item), xlsx.Str(xlsx.InputText, o.Code), xlsx.Str(xlsx.InputText, o.Description), xlsx.Str(xlsx.InputText, o.Content),
			xlsx.Str(xlsx.InputText, o.Unit), xlsx.Num(o.Price, xlsx.InputUnitPrice), xlsx.Str(xlsx.InputText, o.Currency), temp, lead, from, to))
	}
	p.Widths(24, 20, 11, 36, 11, 9, 10, 9, 9, 9, 11, 11)
	p.Finish("PriceList", inputHeader, len(priceHeads), 2)
}

// priceRow returns the row of an offer on Prices.
func (w *writer) priceRow(o pricing.Offer) int {
	for i, x := range w.in.Lists.Offers {
		if x.Place == o.Place && x.Item == o.Item && x.Code == o.Code && x.Content == o.Content && strings.EqualFold(x.Supplier, o.Supplier) {
			return w.offerRow[i]
		}
	}
	w.out.Fail("the price of %s from %s is not on Prices", o.Item, o.Supplier)
	return 1
}

// typed is the range of a column of an input sheet, from below its header to what
// is written last.
func typed(p *xlsx.Sheet, col int) string { return formula.Range(inputHeader+1, col, p.Next()-1, col) }
